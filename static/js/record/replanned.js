// What a reading changes below it, and the ways out when a sugar runs short. The ways are those of
// shop/picture/sums.py, from the areas and masses that stand on the sheet.

import { evaluate } from './graph.js';
import { halfUp } from './reading.js';

/** What people act on, in the order of the work; beside it what each sugar is to weigh. */
const ACTED_ON = ['take_off_mark', 'flame_off_mark', 'base_mass', 'plastic_in', 'shift', 'strokes', 'open_lost', 'close_by', 'log_length_forecast', 'log_mass_forecast', 'cut_length', 'rod_metres', 'packs'];

/** Every figure as it would be had `what` not been read. */
export function without(sheet, { moments, latest, tallies }, what) {
  const { [what]: _, ...others } = latest;
  return evaluate(sheet.graph, { moments, tallies, latest: others });
}

/** `[{name, before, now}]` of the figures people act on that are others because of this reading. */
export function changedBy(sheet, state, what) {
  const before = without(sheet, state, what), weighed = sheet.portions.map(({ figure }) => figure).filter(Boolean);
  const names = [...ACTED_ON, ...weighed].filter((name) => (state.figures[name] ?? null) !== null && (before[name] ?? null) !== null);
  return names.filter((name) => state.figures[name] !== before[name]).map((name) => ({ name, before: before[name], now: state.figures[name] }));
}

const areaOf = ({ parts }, sugar) => parts.filter(({ portion }) => portion === sugar).reduce((sum, { area_um2: area }) => sum + BigInt(area), 0n);
const whole = (top, bottom) => Number(halfUp(top, bottom));

/** What is there of a sugar, what the planned log takes of it [mg], that log's length and the rod it gives [um]; null where it does not run short. */
function shortOf(sheet, state, { id, record }) {
  const before = without(sheet, state, record), have = state.latest[record] ?? null, need = before[`${id}_used`] ?? null;
  const { log_length_forecast: full, rod_metres: rod } = before;
  if (have === null || need === null || have >= need || !full || !rod) return null;
  return { before, have: BigInt(have), need: BigInt(need), full: BigInt(full), rod: BigInt(rod) };
}

/** Of the same section: colour and white share their area anew, and white fills what the colour leaves. */
function thinned({ have, need, full, pulled }, own, ground, least) {
  const length = whole(full * (ground * need + own * have), (ground + own) * need), left = BigInt(length);
  return ['thin', length, whole(own * (left * need - full * have) * pulled, need * ground * full), whole(least * have * full, need * left)];
}

/** White is dyed until both last equally long. */
function toppedUp({ have, need, full, pulled }, least) {
  const length = whole(full * (have + pulled), need + pulled);
  return ['top up', length, whole(need * BigInt(length) - have * full, full), Number(least)];
}

/**
 * Shorten the log, thin the sugar's parts, or top it up from white: `[{way, lost, white, narrowest, fits}]`,
 * good rod lost [um], white it takes [mg], its thinnest part then [um]. [] where it does not run short.
 */
export function waysWhenShort(sheet, state, portion) {
  const short = shortOf(sheet, state, portion);
  if (!short) return [];
  const white = sheet.portions.find(({ treatment }) => treatment === 'white'), limit = sheet.numbers.find(({ id }) => id === 'strip_limit').value;
  const least = BigInt(Math.min(...sheet.parts.filter((part) => part.portion === portion.id).map((part) => part.narrowest_um)));
  const ways = [['shorten', whole(short.full * short.have, short.need), 0, Number(least)]];
  if (white && white.id !== portion.id) {
    const pulled = BigInt(short.before[`${white.id}_used`]), known = { ...short, pulled };
    ways.push(thinned(known, areaOf(sheet, portion.id), areaOf(sheet, white.id), least), toppedUp(known, least));
  }
  return ways.map(([way, length, extra, narrowest]) => ({ way, lost: whole(short.rod * (short.full - BigInt(length)), short.full), white: extra, narrowest, fits: way !== 'thin' || narrowest >= limit }));
}
