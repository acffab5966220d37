// What hangs on the wall: every station that still has work, the most urgent first; and how far each boil is.

import { compareText } from './order.js';
import { flameAt } from './silence.js';
import { hotScene, stationView } from './steps.js';
import { oldestWaiting } from './sticking.js';

/** Why a line stands where it stands, the most urgent first. */
export const RANKS = { hot: 0, rings: 1, timed: 2, flame: 3, missed: 4, works: 5, free: 6, waits: 7 };

const stepOf = (sheet, key) => sheet.steps[key.split('#')[0]];

/** The hand at a station: whoever pressed there last, or whose phone was heard there since; '' = nobody yet. */
export function handAt(state, batch, station, phones = []) {
  const pressed = state.at_stations[station] ?? { by: '', at: -Infinity };
  const [heard] = phones.filter((phone) => phone.batch === batch && phone.station === station && phone.by && phone.heard !== null).sort((a, b) => b.heard - a.heard);
  return heard && heard.heard > pressed.at ? heard.by : pressed.by;
}

function rankOf(line, now) {
  if (line.hot) return RANKS.hot;
  if (line.clock && line.clock.deadline <= now) return RANKS.rings;
  if (line.clock || line.sticks) return RANKS.timed;
  if (line.waits_for.length) return RANKS.waits;
  if (line.flame) return RANKS.flame;
  if (!line.begun) return RANKS.free;
  return line.waiting.length ? RANKS.missed : RANKS.works;
}

/** By when a line's own clock is over [ms]; what has none comes after. */
const endOf = ({ clock, sticks }, now) => (clock ? clock.deadline : sticks ? now + sticks.high : Infinity);

/** The one clock that shows at a station: the first that runs out, of its own or of nobody's. */
const clockAt = ({ countdowns }, station, first) => countdowns.find((clock) => clock.station === station || (!clock.station && first)) ?? null;

function line(sheet, state, station, { now, phones, first }) {
  const view = stationView(sheet, state, station), step = view.now ? stepOf(sheet, view.now) : null, clock = clockAt(state, station, first);
  if (!step && !clock) return [];
  const scene = hotScene(sheet, state), hot = scene !== null && sheet.steps[scene].station === station;
  const doing = hot ? sheet.steps[scene] : step;
  const sticks = step?.block ? oldestWaiting(sheet, state, step, now) : null;
  const found = { ...view, batch: sheet.batch, station, step: doing, hot, flame: flameAt(sheet, state) === station, begun: view.done > 0, clock, sticks, by: handAt(state, sheet.batch, station, phones) };
  return [{ ...found, rank: rankOf(found, now), end: endOf(found, now) }];
}

/** The lines of one boil, in the order of its stations; a clock of no station stands at the first that has work. */
function linesOf({ sheet, state }, now, phones) {
  const { id: working } = sheet.stations.find(({ id }) => stationView(sheet, state, id).now) ?? sheet.stations[0];
  return sheet.stations.flatMap(({ id }) => line(sheet, state, id, { now, phones, first: id === working })).map((found) => ({ ...found, sheet, state }));
}

/** Whichever was lit first; what isn't lit comes after. */
const lit = ({ state }) => state.moments.lit ?? Infinity;
const apart = (a, b) => (a === b ? 0 : a - b);

/** Every station with work of these boils (`[{sheet, state}]`), the most urgent first: what `stationView` says of it, and
 * `{batch, station, step, hot, flame, begun, clock, sticks, by, rank, end}`; `now` [ms] on the corrected clock, `phones` as the shop tells them. */
export function wallLines(boils, now, phones = []) {
  return boils.flatMap((boil) => linesOf(boil, now, phones))
    .sort((a, b) => a.rank - b.rank || apart(a.end, b.end) || apart(lit(a), lit(b)) || compareText(a.batch, b.batch));
}

const BUILDING = ['assemble', 'size', 'cut'];

/** How far a boil is, `{done, total}` over all its stations, and whether its log is being built or drawn. */
export function boilNow(sheet, state) {
  const views = sheet.stations.map(({ id }) => stationView(sheet, state, id)), sum = (what) => views.reduce((n, view) => n + view[what], 0);
  const building = views.some(({ now, done, waits_for: waits }) => now && done && !waits.length && BUILDING.includes(stepOf(sheet, now).heading));
  return { done: sum('done'), total: sum('total'), building };
}

/** What of the lines after the first stands on the wall now: page `nth` of those that fit, `{lines, page, pages}`. */
export function pageOf(lines, fits, nth) {
  const most = Math.max(fits, 1), pages = Math.max(Math.ceil(lines.length / most), 1), page = nth % pages;
  return { lines: lines.slice(page * most, (page + 1) * most), page: page + 1, pages };
}
