// When it happened: now, or some minutes ago, in one press.

import { key } from './dom.js';

/** Keys `now 1 2 5 −/+`; `minutes()` is what is chosen, `reset()` returns to now. */
export function when(group, choices, onChange = () => {}) {
  let minutes = 0;
  const words = (n) => (n ? `${n} min ago` : 'now');
  const own = key('', () => choose(minutes + 1), 'more-ago');
  const keys = choices.map((n) => key(words(n), () => choose(n)));
  function choose(n) {
    minutes = Math.max(0, n);
    choices.forEach((choice, i) => keys[i].setAttribute('aria-pressed', String(choice === minutes)));
    own.textContent = choices.includes(minutes) ? '+ min' : `${minutes} min ago +`;
    onChange(minutes);
  }
  group.replaceChildren(...keys, own);
  choose(0);
  return { minutes: () => minutes, reset: () => { if (minutes) choose(0); } };
}

/** The envelope's words for a moment some minutes ago, counted from `pressed` on this phone's clock. */
export function happenedAgo(minutes, pressed = Date.now()) {
  if (!minutes) return {};
  return { happened: Math.round(pressed - minutes * 60000), known: 'said', within: 60000 };
}
