// The end of a boil: closed by holding, or given up with the kilos that are still usable.

import { key, put, stamp } from './dom.js';
import { stepperPanel } from './stepper.js';
import { panel } from './panel.js';

const HOLD_MS = 1000, GIVEN_UP = ['Grained', 'Scorched', 'Too stiff to build', 'Glass or blade broken'];

/** A key that acts only when it was held for a second; by keys, when it was pressed as long. */
function holdKey(words, held) {
  const button = key(words, () => {}, 'go hold');
  let timer = 0;
  const begin = (event) => { if (!event.repeat) timer = setTimeout(held, HOLD_MS); }, end = () => clearTimeout(timer);
  for (const name of ['pointerdown', 'keydown']) button.addEventListener(name, begin);
  for (const name of ['pointerup', 'pointerleave', 'pointercancel', 'keyup', 'blur']) button.addEventListener(name, end);
  return button;
}

export function endScreen(ctx, batch) {
  const { root, at } = stamp('list');
  const sheet = ctx.shelf.sheet(batch), out = () => ctx.go('/');
  at.title.textContent = 'Close the boil';
  const lose = (reason) => stepperPanel({
    title: `${reason}. How much is usable?`, start: 0, low: 0, high: 60, unit: 'kg', word: 'Give it up',
    done: (kilos) => { ctx.write({ batch, kind: 'batch_given_up', body: { mg: kilos * 1000000, text: reason } }); out(); },
  });
  const giveUp = () => panel({ title: 'Give the boil up', choices: GIVEN_UP.map((reason) => [reason, () => lose(reason)]), typed: { label: 'Another reason', done: lose } });
  const settled = () => !ctx.state(batch).conflicts.length;
  const close = holdKey('Hold to close', () => { if (settled()) { ctx.write({ batch, kind: 'batch_closed', body: {} }); out(); } });
  const settle = key('Settle first', () => ctx.go(`/b/${batch}/back`), 'go');
  at.feet.append(close, settle, key('Give the boil up', giveUp), key('Back', () => ctx.go(`/b/${batch}`)));
  function update() {
    const { owed, off, conflicts } = ctx.state(batch), open = off.filter(({ mended }) => !mended).length;
    [close.hidden, settle.hidden] = [!settled(), settled()];
    put(at.lead, `Lot ${sheet.lot}. Owed: ${owed.length}. Went off, nothing written: ${open}. To settle: ${conflicts.length}.`);
  }
  return { root, batch, update, up: `/b/${batch}`, where: () => 'Close' };
}
