// Adding this phone with the office's six figures, by its own keys or from the address.

import { t } from '../record/language.js';
import { key, put, row, stamp } from './dom.js';
import { appRows } from './shut.js';

const FIGURES = 6;

export function addScreen(ctx) {
  const { root, at } = stamp('add');
  const { wiped } = ctx.shelf.status();
  let typed = '', busy = false;
  if (wiped) put(at.lead, t`This phone lost entries ${wiped.lost_from} to ${wiped.lost_to}: its browser cleared them. Add it again; tell the office.`);
  const show = () => { at.shown.textContent = typed.padEnd(FIGURES, '·'); };
  async function type(figure) {
    if (busy) return;
    typed = (typed + figure).slice(0, FIGURES);
    show();
    if (typed.length === FIGURES) await join(typed);
  }
  async function join(code) {
    busy = true;
    put(at.wrong, '');
    const answer = await ctx.exchange.join(code);
    busy = false;
    typed = '';
    show();
    if (answer.ok) { ctx.updates.keepRest(); ctx.go('/people'); } else put(at.wrong, answer.say);
  }
  at.pad.append(...'123456789'.split('').map((n) => key(n, () => type(n))), key('⌫', () => { typed = typed.slice(0, -1); show(); }), key('0', () => type('0')));
  at.pad.children[9].setAttribute('aria-label', t`Take one figure back`);
  at.rows.replaceChildren(...appRows(ctx.shelf.status()).map(([what, more]) => row({ what, more })));
  show();
  put(at.wrong, '');
  const [, code] = location.hash.match(/^#add=(\d{6})$/) ?? [];
  if (code) { history.replaceState(null, '', '#/'); typed = code; show(); join(code); }
  return { root, where: () => t`New phone` };
}
