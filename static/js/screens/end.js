// The end of a boil: closed by holding, or given up with the kilos that are still usable.

import { t } from '../record/language.js';
import { key, put, stamp } from './dom.js';
import { stepperPanel } from './stepper.js';
import { panel } from './panel.js';

const HOLD_MS = 1000, GIVEN_UP = [/*t*/'Grained', /*t*/'Scorched', /*t*/'Too stiff to build', /*t*/'Glass or blade broken'];

/** A key that acts when it was held for a second, by hand or by keys. Pressed by what can't hold, a screen
 * reader or a single switch, it `asks` first; a short press by hand does nothing. */
function holdKey(words, held, asks) {
  let timer = 0, begun = false;
  const button = key(words, () => { if (!begun) asks(); begun = false; }, 'go hold');
  const begin = (event) => { if (!event.repeat) { begun = true; timer = setTimeout(held, HOLD_MS); } }, end = () => clearTimeout(timer), away = () => { begun = false; end(); };
  for (const name of ['pointerdown', 'keydown']) button.addEventListener(name, begin);
  for (const name of ['pointerup', 'keyup']) button.addEventListener(name, end);
  for (const name of ['pointerleave', 'pointercancel', 'blur']) button.addEventListener(name, away);
  return button;
}

export function endScreen(ctx, batch) {
  const { root, at } = stamp('list');
  const sheet = ctx.sheet(batch), out = () => ctx.go('/');
  at.title.textContent = t`Close the boil`;
  const lose = (reason) => stepperPanel({
    title: t`${t(reason)}. How much is usable?`, start: 0, low: 0, high: 60, unit: 'kg', word: t`Give it up`,
    done: (kilos) => { ctx.write({ batch, kind: 'batch_given_up', body: { mg: kilos * 1000000, text: reason } }); out(); },
  });
  const giveUp = () => panel({ title: t`Give the boil up`, choices: GIVEN_UP.map((reason) => [t(reason), () => lose(reason)]), typed: { label: t`Another reason`, done: lose } });
  const settled = () => !ctx.state(batch).conflicts.length;
  const closeIt = () => { if (settled()) { ctx.write({ batch, kind: 'batch_closed', body: {} }); out(); } };
  const close = holdKey(t`Hold to close`, closeIt, () => panel({ title: t`Close the boil?`, lead: at.lead.textContent, choices: [[t`Not yet`, () => {}], [t`Close it`, closeIt, 'go']] }));
  const settle = key(t`Settle first`, () => ctx.go(`/b/${batch}/back`), 'go');
  at.feet.append(close, settle, key(t`Give the boil up`, giveUp), key(t`Back`, () => ctx.go(`/b/${batch}`)));
  function update() {
    const { owed, off, conflicts } = ctx.state(batch), open = off.filter(({ mended }) => !mended).length;
    [close.hidden, settle.hidden] = [!settled(), settled()];
    put(at.lead, t`Lot ${sheet.lot}. Owed: ${owed.length}. Went off, nothing written: ${open}. To settle: ${conflicts.length}.`);
  }
  return { root, batch, update, up: `/b/${batch}`, where: () => t`Close` };
}
