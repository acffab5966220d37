// What a station shows: now, next, who waits; and which stretch of the work we are in.

import { numbered } from './progress.js';

export { numbered };

// More than any log has of anything; a figure that is astray would fill the memory.
const MOST_REPEATS = 1000;

/** `[step]`, or `step#1 … step#n` for one that repeats. */
export function keysOf(sheet, state, step) {
  const { repeat } = sheet.steps[step];
  if (!repeat) return [step];
  return Array.from({ length: Math.min(state.figures[repeat.figure] ?? 0, MOST_REPEATS) }, (_, i) => numbered(step, i + 1));
}

/** The station's step keys in order, repeats counted out, dropped ones left out. */
export function stationKeys(sheet, state, station) {
  return sheet.stations.find(({ id }) => id === station).steps
    .filter((step) => !state.dropped.includes(step)).flatMap((step) => keysOf(sheet, state, step));
}

/** Done or passed, and not reopened since. */
export const isFinished = (state, key) => ['done', 'passed'].includes(state.steps[key]?.state);

const stepFinished = (sheet, state, step) => state.dropped.includes(step) || keysOf(sheet, state, step).every((key) => isFinished(state, key));
const unfinished = (sheet, state, station) => stationKeys(sheet, state, station).filter((key) => !isFinished(state, key));

function unfinishedBefore(sheet, state, key, station) {
  if (!key) return [];
  return sheet.steps[key.split('#')[0]].after.map((step) => ({ station: sheet.steps[step].station, step }))
    .filter((wait) => wait.station !== station && !stepFinished(sheet, state, wait.step));
}

/** Other stations whose next work waits for something of this one. */
function waiting(sheet, state, station) {
  return sheet.stations.filter(({ id }) => id !== station).flatMap(({ id }) => {
    const [first] = unfinished(sheet, state, id);
    return unfinishedBefore(sheet, state, first, id).filter((wait) => wait.station === station).map(({ step }) => ({ station: id, step }));
  });
}

/** Keys of the steps `now` and `next` ('' = none), what they wait for, who waits for them. */
export function stationView(sheet, state, station) {
  const total = stationKeys(sheet, state, station).length, left = unfinished(sheet, state, station);
  return {
    now: left[0] ?? '', next: left[1] ?? '', waits_for: unfinishedBefore(sheet, state, left[0], station),
    waiting: waiting(sheet, state, station), done: total - left.length, total,
  };
}

const between = (sheet, state, { from, to }) => state.phase === 'open' && isFinished(state, from) && !stepFinished(sheet, state, to);

/** From 140 °C until poured, the step that ends it; else null. */
export const hotScene = (sheet, state) => (between(sheet, state, sheet.hot_scene) ? sheet.hot_scene.to : null);

/** The stretch in which the boil is not handed over. */
export const inZone = (sheet, state) => between(sheet, state, sheet.zone);
