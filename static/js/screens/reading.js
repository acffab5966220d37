// Writing a reading down: by − and + from the mark, or by keys where hands are clean. Never in the way.

import { point, t, within } from '../record/language.js';
import { fixedValue, parts, problemWith, toUnit } from '../record/reading.js';
import { say } from '../record/words.js';
import { hide, key, put, stamp } from './dom.js';
import { lay } from './panel.js';
import { happenedAgo, when } from './when.js';

const UNIT_WORDS = { degC: '°C', degF: '°F', 'kg/m3': 'kg/m³', 'g/cm3': 'g/cm³' };
const CLEAN = ['setup', 'packing'], COARSE = 10, STEPS = { oz: 5, in: 5, lb: 2, kg: 5, 'g/cm3': 10 };
export const unitWords = (unit) => UNIT_WORDS[unit] ?? unit;

/** n/d as it stands on an instrument. */
export function shown(n, d) {
  const places = String(d).length - 1, size = String(Math.abs(n)).padStart(places + 1, '0');
  return (n < 0 ? '−' : '') + (places ? `${size.slice(0, -places)}${point()}${size.slice(-places)}` : size);
}

/** Where every reading is held against limits by itself, it bears the number of the piece it was read on. */
export function nthFor(sheet, state, station, what) {
  if (!sheet.checks.some(({ record, figure }) => record === what && !figure)) return undefined;
  const tally = sheet.stations.find(({ id }) => id === station).steps.map((step) => sheet.steps[step].tally).find(Boolean);
  return state.tallies[tally] || undefined;
}

const targetOf = (record, state) => (record.target ? state.figures[record.target] ?? null : null);

/** Where − and + start: the newest value as it is, else the mark or the middle in whole presses. */
function start(record, state, what, unit) {
  const newest = state.values[what];
  if (newest) return toUnit(record, unit, newest.value);
  const { n, d } = toUnit(record, unit, targetOf(record, state) ?? Math.round((record.low + record.high) / 2)), press = unit === record.unit ? record.press : 1;
  return { n: Math.round(n / press) * press, d };
}

class Reading {
  constructor(ctx, { batch, what, nth, station, step, undo, done }) {
    const sheet = ctx.sheet(batch), state = ctx.state(batch), record = sheet.records[what];
    Object.assign(this, { ctx, batch, what, nth, station, step, done, record, sheet, pressed: Date.now(), typed: null });
    Object.assign(this, stamp('reading'));
    const wanted = ctx.wanted[record.fixed], own = wanted === 'lb' && record.unit === 'g' ? 'oz' : wanted;
    this.unit = Object.hasOwn(record.units, own) ? own : record.unit;
    Object.assign(this, start(record, state, what, this.unit));
    this.words(state);
    this.ago = when(this.at.ago, sheet.wait_choices_min);
    this.controls();
    if (undo) this.at.later.before(key(t`Undo`, undo));
    this.root.setAttribute('aria-label', record.label);
    this.show();
    this.close = lay(this.root, () => this.done?.(this.written ?? null));
  }

  words(state) {
    const { at, record, nth, unit } = this, target = targetOf(record, state);
    put(at.label, nth ? `${record.label}, ${nth}` : record.label);
    put(at.how, `${record.how}, ${within(record.instrument_name)}`);
    put(at.target, target === null ? '' : t`mark ${say(target, record.fixed, unit)}`);
  }

  controls() {
    const { at, record } = this, grade = record.kind === 'grade', units = Object.keys(record.units);
    hide(at.units, !units[1]);
    at.units.append(...units.map((name) => Object.assign(key(unitWords(name), () => this.change(name)), { name })));
    if (grade) this.grades(); else this.stepper();
    at.later.addEventListener('click', () => this.close());
    at.keep.addEventListener('click', () => this.keep());
  }

  /** A grade is one of a few keys. */
  grades() {
    const { at, record: { low, high } } = this;
    at.pad.append(...Array.from({ length: high - low + 1 }, (_, i) => key(String(low + i), () => { this.n = low + i; this.show(); })));
    at.pad.classList.add('grades');
    this.byKeys(true);
  }

  stepper() {
    const { at } = this;
    for (const [button, times, words] of [[at.muchLess, -COARSE, t`much less`], [at.less, -1, t`less`], [at.more, 1, t`more`], [at.muchMore, COARSE, t`much more`]]) {
      button.addEventListener('click', () => this.by(times));
      button.setAttribute('aria-label', words);
    }
    at.value.addEventListener('click', () => this.byKeys(at.pad.hidden));
    at.pad.append(...[...'123456789.0⌫'].map((figure) => key(figure === '.' ? point() : figure, () => this.type(figure))));
    at.pad.lastChild.setAttribute('aria-label', t`Take one figure back`);
    this.byKeys(CLEAN.includes(this.station) || !this.station);
  }

  /** The number's own keys, or − and +: never both, so that 'Write down' stays in sight. */
  byKeys(pad) {
    this.at.pad.hidden = !pad;
    this.at.stepper.classList.toggle('typing', pad);
  }

  show() {
    const { at, unit } = this;
    put(at.value, `${this.typed?.replace('.', point()) ?? shown(this.n, this.d)} ${unitWords(unit)}`);
    at.value.setAttribute('aria-label', t`${at.value.textContent}, type it`);
    put(at.wrong, '');
    const coarse = shown(unitSteps(this) * COARSE, parts(this.record, unit)).replace(/[.,]0+$/, '');
    put(at.muchLess, `−${coarse}`);
    put(at.muchMore, `+${coarse}`);
    for (const button of at.units.children) button.setAttribute('aria-pressed', String(button.name === unit));
  }

  by(times) {
    if (this.typed !== null) Object.assign(this, toUnit(this.record, this.unit, fixedValue(this.record, this.unit, this.n, this.d)));
    this.typed = null;
    this.n += times * unitSteps(this);
    this.show();
  }

  type(figure) {
    const before = this.typed ?? '', typed = figure === '⌫' ? before.slice(0, -1) : before + figure;
    if (!/^\d{0,6}(\.\d{0,3})?$/.test(typed)) return;
    const [whole, part = ''] = typed.split('.');
    Object.assign(this, { typed, d: 10 ** part.length, n: Number(`${whole}${part}`) || 0 });
    this.show();
  }

  change(to) {
    Object.assign(this, toUnit(this.record, to, fixedValue(this.record, this.unit, this.n, this.d)), { unit: to, typed: null });
    this.words(this.ctx.state(this.batch));
    this.show();
  }

  keep() {
    const { record, unit, n, d, what } = this;
    const problem = this.typed === '' || this.typed === '.' ? t`Nothing is typed yet.` : problemWith(record, unit, n, d);
    if (problem) { put(this.at.wrong, problem); return; }
    const { instrument, how } = record, { batch, station, step, nth } = this;
    this.written = this.ctx.write({ batch, kind: 'reading_taken', station, step, nth, body: { what, n, d, unit, instrument, how }, ...happenedAgo(this.ago.minutes(), this.pressed) });
    this.close();
  }
}

/** One press of + in the unit shown: the record's own in its own unit; elsewhere about as much, else a tenth of a whole one. */
const unitSteps = ({ record, unit }) => (unit === record.unit ? record.press : STEPS[unit] ?? Math.max(1, Math.round(record.d / 10)));

/** Opens the panel for one reading; `done(written)` when it closes. */
export const readingPanel = (ctx, asked) => new Reading(ctx, asked);

/** Asks for several readings one after another; what is put off stays owed. */
export function readingPanels(ctx, { whats, done, ...rest }) {
  const asked = { close: () => { asked.off = true; asked.now?.close(); } };
  const next = ([what, ...others]) => {
    if (!what || asked.off) { done?.(); return; }
    asked.now = readingPanel(ctx, { ...rest, what, done: () => next(others) });
  };
  next(whats);
  return asked;
}
