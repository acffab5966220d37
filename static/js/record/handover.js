// The handover card (ten parts) and the glance card (four lines); shop/record/handover.py is the same.

import { compareText } from './order.js';
import { inZone, isFinished, stationView } from './steps.js';

const STALE_MS = 5 * 60000, WARM = 45000, NEXT_LINES = 5, FAR = 2 ** 52;

function aged(what, value, now) {
  const age = now - value.at;
  return { what, value: value.value, age, stale: age > STALE_MS ? 1 : 0 };
}

function nowPart(sheet, state) {
  const stations = sheet.stations.map(({ id }) => [id, stationView(sheet, state, id)]).filter(([, view]) => view.now && view.done)
    .map(([station, view]) => ({ station, step: view.now, done: view.done, total: view.total }));
  return { title: sheet.title, letter: sheet.boil.letter, reading_end: sheet.picture.reading_end, stations };
}

/** Everything read warm enough to burn in held contact, hottest first, with its age. */
function hotPart(sheet, state, now) {
  return Object.entries(state.values)
    .filter(([key, { value }]) => sheet.records[key.split('#')[0]].fixed === 'm°C' && value > WARM)
    .map(([key, value]) => aged(key, value, now))
    .sort((a, b) => b.value - a.value || compareText(a.what, b.what));
}

/** Weighed portions, and which blocks are laid up. */
function wherePart(sheet, state, now) {
  const weighed = sheet.portions.filter(({ record }) => Object.hasOwn(state.values, record))
    .map(({ id, record }) => ({ portion: id, ...aged(record, state.values[record], now) }));
  return [...weighed, ...sheet.blocks.map(({ id, step }) => ({ block: id, built: isFinished(state, step) ? 1 : 0 }))];
}

/** At most five coming steps, those with a due time first. */
function nextPart(sheet, state) {
  const lines = sheet.stations.flatMap(({ id }) => {
    const view = stationView(sheet, state, id);
    if (!view.now || view.waits_for.length) return [];
    const { due } = sheet.steps[view.now.split('#')[0]];
    return [{ station: id, step: view.now, due: due ? state.figures[due] ?? null : null }];
  });
  return lines.sort((a, b) => (a.due ?? FAR) - (b.due ?? FAR)).slice(0, NEXT_LINES);
}

/** The ten parts; `now` dates every value. */
export function card(sheet, state, now) {
  return {
    now: nowPart(sheet, state), hot: hotPart(sheet, state, now), where: wherePart(sheet, state, now), next: nextPart(sheet, state),
    off: state.off.filter((entry) => !entry.mended), changed: state.off.filter((entry) => entry.mended),
    holds: { lead: state.lead.by, crew: state.crew },
    counts: { tallies: state.tallies, packs: sheet.order.packs },
    safety: {
      interrupted: state.interrupted, stop_open: sheet.stop_items.filter((step) => !isFinished(state, step)),
      hazards_read: state.hazards?.people ?? [],
    },
    owed: state.owed, walk: sheet.walk, in_zone: inZone(sheet, state) ? 1 : 0,
  };
}

/** Four lines for a newcomer inside the zone: now, hot, next, who has the boil. */
export function glance(sheet, state, now) {
  const whole = card(sheet, state, now);
  return { now: whole.now, hot: whole.hot.slice(0, 3), next: whole.next.slice(0, 2), lead: state.lead.by };
}
