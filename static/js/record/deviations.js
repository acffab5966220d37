// What went off: what people marked, what a check of the sheet found, what was open at lighting.

import { actor, at, compareText, refOf } from './order.js';
import { dropped } from './progress.js';
import { keysByRecord } from './values.js';

const entry = (id, code, when, by, more) => ({ id, code, at: when, by, text: '', what: '', value: null, low: null, high: null, ...more });

const marked = (live) => live.of('went_off').map((e) => entry(refOf(e), e.body.code, at(e), actor(e), { text: e.body.text ?? '' }));

/** The kettle was lit while stop items were open: true, possible, and kept by name. */
function openAtLighting(sheet, live, steps) {
  const lit = Object.entries(steps).find(([key, step]) => !key.includes('#') && step.state === 'done' && sheet.steps[key].moment === 'lit')?.[1];
  if (!lit) return [];
  const gone = dropped(sheet, live);
  const still = sheet.stop_items.filter((item) => !gone.includes(item) && !(steps[item]?.state === 'done' && steps[item].at <= lit.at));
  return still.length ? [entry('check:lit_open', 'lit_open', lit.at, lit.by, { what: still.join(',') })] : [];
}

/** The figures that the checks look at; `before` itself where none of them moved, so that nothing is checked again. */
export function checkedFigures({ checks }, figures, before = null) {
  const names = checks.flatMap(({ figure, low, high }) => [figure, low, high]).filter((name) => typeof name === 'string' && name in figures);
  if (before && names.every((name) => figures[name] === before[name])) return before;
  return Object.fromEntries(names.map((name) => [name, figures[name]]));
}

const limit = (side, figures) => (typeof side === 'string' ? figures[side] ?? null : side);

/** A figure is held against its limits once; without one every reading is, by itself. */
function check({ id, record, figure, ...sides }, byRecord, values, figures) {
  const keys = byRecord.get(record) ?? [];
  const seen = figure ? keys.slice(-1).map((key) => [key, figures[figure] ?? null]) : keys.map((key) => [key, values[key].value]);
  const low = limit(sides.low, figures), high = limit(sides.high, figures);
  return seen.filter(([, value]) => value !== null && low !== null && high !== null && !(low <= value && value <= high))
    .map(([key, value]) => entry(figure ? `check:${id}` : `check:${id}:${key}`, id, values[key].at, values[key].by, { what: key, value, low, high }));
}

/** Every went-off entry by time, with what was changed because of it. */
export function deviations(sheet, live, steps, values, figures) {
  const mended = new Map(live.of('mended').map((e) => [e.body.id, { by: actor(e), at: at(e), text: e.body.text }]));
  const byRecord = keysByRecord(values);
  const entries = [...openAtLighting(sheet, live, steps), ...sheet.checks.flatMap((c) => check(c, byRecord, values, figures)), ...marked(live)];
  return entries.sort((a, b) => a.at - b.at || compareText(a.id, b.id)).map((e) => ({ ...e, mended: mended.get(e.id) ?? null }));
}
