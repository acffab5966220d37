// Writing a reading down: by − and + from the mark, or by keys where hands are clean. Never in the way.

import { fixedValue, problemWith, toUnit } from '../record/reading.js';
import { key, put, stamp } from './dom.js';
import { happenedAgo, when } from './when.js';

const UNIT_WORDS = { degC: '°C', degF: '°F', 'kg/m3': 'kg/m³', 'g/cm3': 'g/cm³', 'of 5': 'of 5' };
const CLEAN = ['setup', 'packing'];
export const unitWords = (unit) => UNIT_WORDS[unit] ?? unit;

/** n/d as it stands on an instrument. */
export function shown(n, d) {
  const places = String(d).length - 1, size = String(Math.abs(n)).padStart(places + 1, '0');
  return (n < 0 ? '−' : '') + (places ? `${size.slice(0, -places)}.${size.slice(-places)}` : size);
}

/** Where − and + start: the newest value, else the mark, else the middle of what is possible. */
function start(record, state, what) {
  const target = record.target ? state.figures[record.target] : null;
  return state.values[what]?.value ?? target ?? Math.round((record.low + record.high) / 2);
}

/** Opens the panel for one reading; `done(written)` when it closes. */
export function readingPanel(ctx, { batch, what, nth, station, step, done }) {
  const sheet = ctx.shelf.sheet(batch), state = ctx.state(batch), record = sheet.records[what];
  const { root, at } = stamp('reading');
  let unit = record.unit, pressed = Date.now();
  let { n, d } = toUnit(record, unit, start(record, state, what));
  let typed = null;
  put(at.label, nth ? `${record.label}, ${nth}` : record.label);
  put(at.how, `${record.how}, ${record.instrument_name}`);
  const ago = when(at.ago, sheet.wait_choices_min);

  function show() {
    put(at.value, `${typed ?? shown(n, d)} ${unitWords(unit)}`);
    at.value.setAttribute('aria-label', `${at.value.textContent}, type it`);
    put(at.wrong, '');
    for (const button of at.units.children) button.setAttribute('aria-pressed', String(button.dataset.unit === unit));
  }
  function step_(sign) {
    typed = null;
    n += sign * record.press * (unit === record.unit ? 1 : Math.max(1, Math.round(d / 10)));
    show();
  }
  function type(figure) {
    typed = figure === '⌫' ? (typed ?? '').slice(0, -1) : (typed ?? '') + figure;
    if (!/^\d{0,6}(\.\d{0,3})?$/.test(typed)) typed = typed.slice(0, -1);
    const [whole, part = ''] = typed.split('.');
    d = 10 ** part.length;
    n = Number(`${whole}${part}`) || 0;
    show();
  }
  function change(to) {
    typed = null;
    ({ n, d } = toUnit(record, to, fixedValue(record, unit, n, d)));
    unit = to;
    show();
  }
  function close(written) {
    root.remove();
    done?.(written);
  }
  function keep() {
    const problem = typed === '' || typed === '.' ? 'Nothing is typed yet.' : problemWith(record, unit, n, d);
    if (problem) { put(at.wrong, problem); return; }
    const body = { what, n, d, unit, instrument: record.instrument, how: record.how };
    close(ctx.write({ batch, kind: 'reading_taken', station, step, nth, body, ...happenedAgo(ago.minutes(), pressed) }));
  }

  at.units.append(...Object.keys(record.units).map((name) => {
    const button = key(unitWords(name), () => change(name));
    button.dataset.unit = name;
    return button;
  }));
  at.value.addEventListener('click', () => { at.pad.hidden = !at.pad.hidden; });
  at.less.addEventListener('click', () => step_(-1));
  at.more.addEventListener('click', () => step_(1));
  at.less.setAttribute('aria-label', 'Less');
  at.more.setAttribute('aria-label', 'More');
  at.pad.append(...[...'123456789.0⌫'].map((figure) => key(figure, () => type(figure))));
  at.pad.hidden = !CLEAN.includes(station) && Boolean(station);
  at.later.addEventListener('click', () => close(null));
  at.keep.addEventListener('click', keep);
  root.setAttribute('aria-label', record.label);
  show();
  document.getElementById('app').append(root);
  at.keep.focus({ preventScroll: true });
  return { close: () => close(null) };
}

/** Asks for several readings one after another; what is put off stays owed. */
export function readingPanels(ctx, { whats, done, ...rest }) {
  const [what, ...others] = whats;
  if (!what) { done?.(); return null; }
  return readingPanel(ctx, { ...rest, what, done: () => readingPanels(ctx, { whats: others, done, ...rest }) });
}
