// The handover card (ten parts), the glance card (four lines), the spot questions;
// shop/record/handover.py is the same.

import { compareText } from './order.js';
import { inZone, isFinished, stationView } from './steps.js';
import { readingEnd } from './turns.js';

const STALE_MS = 5 * 60000, WARM = 45000, NEXT_LINES = 5, SOON_MS = 10 * 60000, MILLION = 1000000, FAR = 2 ** 52;

/** How old a value is; what was never dated has no age. */
function dated(when, now) {
  const age = when === null ? null : now - when;
  return { age, stale: age !== null && age > STALE_MS ? 1 : 0 };
}

/** Who works at a station and since when nothing was pressed there; else who has the boil. */
function hand(state, station, now) {
  const seen = Object.hasOwn(state.at_stations, station) ? state.at_stations[station] : { by: '', at: null };
  return { by: seen.by || state.lead.by, ...dated(seen.at, now) };
}

function nowPart(sheet, state, now) {
  const stations = sheet.stations.map(({ id }) => [id, stationView(sheet, state, id)]).filter(([, view]) => view.now && view.done)
    .map(([station, view]) => ({ station, step: view.now, done: view.done, total: view.total, ...hand(state, station, now) }));
  return { title: sheet.title, letter: sheet.boil.letter, reading_end: readingEnd(sheet, state.turns), stations };
}

/** The kettle's flame as far as the steps tell: on from lit to poured. */
function flame({ moments }, now) {
  const on = 'lit' in moments && !('poured' in moments), at = moments[on ? 'lit' : 'poured'];
  return at === undefined ? null : { on: on ? 1 : 0, ...dated(at, now) };
}

/** The station of the first step that reads it; '' where none does. */
function placeOf({ stations, steps }, what) {
  const first = stations.flatMap((station) => station.steps).find((key) => steps[key].record.includes(what));
  return first ? steps[first].station : '';
}

/** What was read warm enough to burn in held contact at stations still at work, hottest first. */
function hotPart(sheet, state, now) {
  const over = new Set(sheet.stations.filter(({ id }) => !stationView(sheet, state, id).now).map(({ id }) => id));
  return Object.entries(state.values)
    .filter(([key, { value }]) => sheet.records[key.split('#')[0]].fixed === 'm°C' && value > WARM)
    .map(([what, { value, at }]) => ({ station: placeOf(sheet, what.split('#')[0]), what, value, ...dated(at, now) }))
    .filter(({ station }) => !over.has(station))
    .sort((a, b) => b.value - a.value || compareText(a.what, b.what));
}

/** Weighed portions, and which blocks are laid up. */
function wherePart(sheet, state, now) {
  const weighed = sheet.portions.filter(({ record }) => Object.hasOwn(state.values, record))
    .map(({ id, record }) => ({ portion: id, value: state.values[record].value, ...dated(state.values[record].at, now), stale: 0 }));
  const blocks = sheet.blocks.map(({ id, step }) => {
    const built = isFinished(state, step);
    return { block: id, built: built ? 1 : 0, ...dated(built ? state.steps[step].at : null, now), stale: 0 };
  });
  return [...weighed, ...blocks];
}

const rings = ({ countdowns }) => countdowns.map(({ station, label, deadline, by }) => ({ station, step: '', ring: label, due: deadline, by }));

function coming(sheet, state, now) {
  return sheet.stations.flatMap(({ id }) => {
    const view = stationView(sheet, state, id);
    if (!view.now || view.waits_for.length) return [];
    const { due } = sheet.steps[view.now.split('#')[0]];
    return [{ station: id, step: view.now, ring: '', due: due ? state.figures[due] ?? null : null, by: hand(state, id, now).by }];
  });
}

/** At most five lines of the next ten minutes, each with a name, those with a time first. */
function nextPart(sheet, state, now) {
  return [...rings(state), ...coming(sheet, state, now)].filter(({ due }) => due === null || due <= now + SOON_MS)
    .sort((a, b) => (a.due ?? FAR) - (b.due ?? FAR)).slice(0, NEXT_LINES);
}

/** Low and high; a moment is as unsure as the stretch of time (`of`) that leads to it, and lasts until another (`to`) where there is one. */
function range({ figure, of, to }, units, { figures }) {
  const value = figures[figure], half = Number((BigInt(Math.abs(figures[of] ?? 0)) * BigInt(units.get(of).spread) * 2n + BigInt(MILLION)) / BigInt(2 * MILLION));
  return { value, low: value - half, high: figures[to] ?? value + half, unit: units.get(figure).unit };
}

/** What the reckoning still predicts, as ranges, and how old the reading is they rest on. */
function expected(sheet, state, now) {
  const rows = (sheet.expected ?? []).filter(({ figure, until }) => (state.figures[figure] ?? null) !== null && !(until in state.moments));
  const newest = Object.values(state.values).reduce((last, { at }) => (last === null || at > last ? at : last), null);
  const units = new Map(rows.length ? sheet.graph.map((q) => [q.name, q]) : []);
  return rows.map((row) => ({ figure: row.figure, ...range(row, units, state), ...dated(newest, now), stale: 0 }));
}

function holds({ lead, crew, shadows, at_stations: places }, now) {
  const stations = Object.entries(places).map(([station, { by, at }]) => ({ station, by, ...dated(at, now), stale: 0 }));
  return { lead: lead.by, since: lead.since, ...dated(lead.since, now), stale: 0, crew, shadows, stations };
}

function counts(sheet, { tallies, counted }, now) {
  return { tallies: Object.entries(tallies).map(([what, n]) => ({ what, n, ...dated(counted[what].at, now), stale: 0 })), packs: sheet.order.packs };
}

function safety(sheet, state, now) {
  return {
    interrupted: state.interrupted.map((entry) => ({ ...entry, age: now - entry.at })), stop_open: sheet.stop_items.filter((step) => !isFinished(state, step)),
    hazards_read: state.hazards?.people ?? [], hazards_age: dated(state.hazards?.at ?? null, now).age,
  };
}

/** The ten parts; `now` dates every value: `age` in ms, `stale` past five minutes. */
export function card(sheet, state, now) {
  const still = new Set(state.owed.map(({ because }) => because).filter(Boolean)), open = ({ mended, id }) => !mended || still.has(id);
  return {
    now: nowPart(sheet, state, now), flame: flame(state, now), hot: hotPart(sheet, state, now), where: wherePart(sheet, state, now), next: nextPart(sheet, state, now),
    expected: expected(sheet, state, now), off: state.off.filter(open), changed: state.off.filter((entry) => !open(entry)),
    holds: holds(state, now), counts: counts(sheet, state, now), safety: safety(sheet, state, now),
    owed: state.owed.map((owed) => ({ ...owed, age: now - owed.since })), walk: sheet.walk, in_zone: inZone(sheet, state) ? 1 : 0,
  };
}

/** Four lines for a newcomer inside the zone: now, hot, next, who has the boil. */
export function glance(sheet, state, now) {
  const whole = card(sheet, state, now);
  return { now: whole.now, hot: whole.hot.slice(0, 3), next: whole.next.slice(0, 2), lead: state.lead.by };
}

/** Eight questions that whoever takes over can answer, each with its answer off the card. */
export function spots({ holds: held, now, hot, next, counts: counted, off, changed, owed }) {
  const answers = { lead: held.lead, reading_end: now.reading_end, now: now.stations, hottest: hot.slice(0, 1), next: next.slice(0, 1), counts: counted, off: [...off, ...changed], owed };
  return Object.entries(answers).map(([ask, answer]) => ({ ask, answer }));
}
