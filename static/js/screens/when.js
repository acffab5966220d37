// When it happened: now, or some minutes ago, in one press; by − and + where it was longer.

import { t } from '../record/language.js';
import { key } from './dom.js';

const words = (n) => (n ? t`${n} min ago` : t`now`);

/** Keys `now 1 2 5 …`; `minutes()` is what is chosen. */
export function when(group, choices) {
  let minutes = 0;
  const keys = choices.map((n) => key(words(n), () => choose(n), n === 5 ? 'rare' : ''));
  const earlier = key('…', () => choose(Math.max(...choices) + 5));
  earlier.setAttribute('aria-label', t`earlier`);
  const shown = key('', () => choose(0));
  const stepper = [key('−', () => choose(Math.max(0, minutes - 1)), 'step'), shown, key('+', () => choose(minutes + 1), 'step')];
  stepper[0].setAttribute('aria-label', t`a minute less`);
  stepper[2].setAttribute('aria-label', t`a minute more`);
  function choose(n) {
    minutes = n;
    const listed = choices.includes(n);
    choices.forEach((choice, i) => keys[i].setAttribute('aria-pressed', String(choice === n)));
    shown.textContent = words(n);
    shown.setAttribute('aria-pressed', 'true');
    const wanted = listed ? [...keys, earlier] : stepper;
    if (group.firstChild !== wanted[0]) group.replaceChildren(...wanted);
  }
  choose(0);
  return { minutes: () => minutes };
}

/** What an entry says of a moment some minutes ago, counted from its own, or from `pressed` on this phone's clock. */
export function happenedAgo(minutes, pressed) {
  if (!minutes) return {};
  return { ago: minutes * 60000 + (pressed ? Date.now() - pressed : 0), known: 'said', within: 60000 };
}
