// A PIN by the phone's own keys: clean hands, before lighting. It can always be left out.

import { t } from '../record/language.js';
import { signIn } from '../sync/signing.js';
import { key, put, stamp } from './dom.js';
import { lay } from './panel.js';

const LONGEST = 6, SHORTEST = 4;

/** `done()` once signed in, or with the name alone. */
export function pinPanel(ctx, { id, name, done }) {
  const { root, at } = stamp('pin');
  let typed = '', busy = false;
  put(at.title, t`${name}’s PIN`);
  root.setAttribute('aria-label', t`${name}’s PIN`);
  const show = () => { at.shown.textContent = '●'.repeat(typed.length).padEnd(SHORTEST, '·'); };
  const close = lay(root);
  function type(figure) {
    if (busy) return;
    put(at.wrong, '');
    typed = (typed + figure).slice(0, LONGEST);
    show();
  }
  async function enter() {
    if (busy || typed.length < SHORTEST) return;
    busy = true;
    put(at.wrong, t`Looking`);
    const { how, say } = await signIn(ctx.shelf, id, typed);
    busy = false;
    typed = '';
    show();
    put(at.wrong, say);
    if (how) { close(); done(); }
  }
  const erase = () => { typed = typed.slice(0, -1); show(); }, back = key('⌫', erase);
  back.setAttribute('aria-label', t`Take one figure back`);
  at.pad.append(...'123456789'.split('').map((n) => key(n, () => type(n))), back, key('0', () => type('0')), key(t`Sign in`, enter, 'go'));
  at.keys.append(key(t`Close`, close), key(t`Without a PIN`, () => { close(); done(); }));
  root.addEventListener('keydown', ({ key: pressed, target }) => {
    if (/^\d$/.test(pressed)) type(pressed);
    else if (pressed === 'Backspace') erase();
    // On a key of the pad Enter presses that key.
    else if (pressed === 'Enter' && target === root) enter();
  });
  show();
  root.focus({ preventScroll: true });
}
