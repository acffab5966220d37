// How long the oldest part of a block that waits on the board will still stick.

import { isFinished, stationKeys } from './steps.js';

// Of sheets frozen before it was a number of the shop's.
const OPEN_DOUBT = 300000, MILLION = 1000000;

/** Since when the board's parts of this block are laid out: the step before it here was done. */
function begun(sheet, state, { id, station }) {
  const keys = stationKeys(sheet, state, station), before = keys.slice(0, keys.indexOf(id)).filter((key) => isFinished(state, key));
  return before.length ? Math.max(...before.map((key) => state.steps[key].at)) : null;
}

/** When its sugar was last done: cut and weighed, or the white off the hook. */
function sugarDone(sheet, state, id) {
  if (sheet.portions.find((portion) => portion.id === id)?.treatment === 'white') return state.moments.white_stop ?? 0;
  return Math.max(0, ...Object.values(sheet.steps).filter((step) => step.portion === id && isFinished(state, step.id)).map((step) => state.steps[step.id].at));
}

/** A reading of the coldest part since then starts its time anew, with what the reckoning says is left: 0 to 1. */
function reread({ values, figures }, since) {
  const { at } = values.part_temperature ?? {}, share = figures.open_share ?? null;
  return at === undefined || at < since || share === null ? { since, share: 1 } : { since: at, share: share / MILLION };
}

/** Of the parts of the block whose step this is, the one laid warm first (of several, the first to
 * go cold): `{part, since, low, high}`, [ms] it still sticks from `now` on; null where none waits. */
export function oldestWaiting(sheet, state, step, now) {
  const start = begun(sheet, state, step), numbers = new Map(sheet.numbers.map(({ id, value }) => [id, value]));
  if (start === null) return null;
  const doubt = (numbers.get('open_doubt') ?? OPEN_DOUBT) / MILLION;
  const waiting = sheet.parts.filter((part) => part.block === step.block && part.open_ms).map((part) => {
    const { since, share } = reread(state, Math.max(start, sugarDone(sheet, state, part.portion))), open = part.open_ms * share;
    return { part, since, low: open * (1 - doubt) - (now - since), high: open * (1 + doubt) - (now - since) };
  });
  return waiting.sort((a, b) => a.since - b.since || a.high - b.high)[0] ?? null;
}
