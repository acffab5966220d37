// A press-button or pedal that sends a key of its own is taught once, by pressing it.

import { t } from '../record/language.js';
import { BUILT_IN, FINISH } from './keys.js';
import { panel } from './panel.js';

// Those that walk the page, close a panel, or only go with others; and what a browser tells no page.
const NEVER = ['Tab', 'Escape', 'Shift', 'Control', 'Alt', 'AltGraph', 'Meta', 'Fn', 'CapsLock', 'Backspace', 'Unidentified', 'Dead', 'Process'];

/** What finishes beside the usual keys: the one this phone was taught. */
export function takeUp({ shelf }) {
  const { button } = shelf.record;
  FINISH.splice(BUILT_IN, FINISH.length, ...(button ? [button] : []));
}

function teach(ctx) {
  const keep = (button) => { ctx.shelf.setPhone({ button }); takeUp(ctx); };
  const choices = ctx.shelf.record.button ? [[t`Forget it`, () => keep('')]] : [];
  const lead = t`The press-button or pedal, now. Nothing happens? Then the browser does not see its key: set it to Enter or page down.`;
  const { close } = panel({ title: t`Press it once`, lead, choices, onClose: () => removeEventListener('keydown', pressed, { capture: true }) });
  function pressed(event) {
    if (NEVER.includes(event.key) || event.repeat) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (!FINISH.slice(0, BUILT_IN).includes(event.key)) keep(event.key);
    close();
    panel({ title: t`It works`, lead: t`It sends ‘${nameOf(event.key)}’. One press finishes the step; for 1.5 s after it is dead.` });
  }
  addEventListener('keydown', pressed, { capture: true });
}

const nameOf = (key) => (key === ' ' ? t`Space` : key);

export function buttonRow(ctx) {
  const { button } = ctx.shelf.record;
  return [button ? t`Press-button: ${nameOf(button)}` : t`Press-button or pedal`, t`Space, Enter, page down and → finish a step. Press here to try or teach another.`, () => teach(ctx)];
}

/** From 140 °C to poured a press-button or pedal is dead, whatever has the focus. Whoever walks there by Tab, which
 * no pedal sends, may press what is walked to. */
export function keepFromScene({ shelf }) {
  let walked = false;
  const heard = (event) => {
    if (!document.body.classList.contains('is-hot')) { walked = false; return; }
    walked ||= event.key === 'Tab';
    if (shelf.record.scan || !FINISH.includes(event.key)) return;
    const poured = event.target.closest?.('.hot .finish');
    if (walked && !poured) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (walked && event.type === 'keydown' && !event.repeat) poured.click();
  };
  for (const name of ['keydown', 'keyup']) addEventListener(name, heard, { capture: true });
}
