// Whose station may be left alone: a phone that is not heard any more while its boil is hot.

import { compareText } from './order.js';
import { isFinished, stationView } from './steps.js';

/** The station whose flame can be on: from lit until it is poured; else ''. */
export function flameAt({ hot_scene: hot, steps }, state) {
  return state.moments.lit !== undefined && !isFinished(state, hot.to) ? steps[hot.to].station : '';
}

/** Stations that want somebody while the boil is hot, the flame's first. */
export function wanting(sheet, state) {
  const flame = flameAt(sheet, state), left = sheet.stations.map(({ id }) => id).filter((id) => id === flame || stationView(sheet, state, id).now);
  return left.sort((a, b) => (b === flame) - (a === flame));
}

/** When each station's phones were last heard [ms, corrected clock], whoever stands there; `phones` as the shop tells them. */
function heardAt(phones, batch) {
  const found = new Map();
  for (const { station, heard, ...phone } of phones)
    if (phone.batch === batch && station && heard !== null) found.set(station, Math.max(found.get(station) ?? 0, heard));
  return found;
}

/** Where nobody has said since that it is watched. */
const unanswered = (state, station, since) => !(state.stood_in[station]?.at >= since);

/** Stations whose phones the shop has not heard for `limit` [ms]: `[{station, since}]`, the flame's first. Where `own` stands nobody need ask. */
export function silent(sheet, state, { phones, own, now, limit }) {
  const late = new Map([...heardAt(phones, sheet.batch)].filter(([id, since]) => id !== own && now - since > limit && unanswered(state, id, since)));
  return late.size ? wanting(sheet, state).filter((id) => late.has(id)).map((station) => ({ station, since: late.get(station) })) : [];
}

/** The one station to think of when this phone itself has heard nothing for `limit` [ms]: the flame's, else where others worked last. */
export function unknown(sheet, state, { phones, own, now, limit, since }) {
  if (now - since <= limit) return [];
  const beside = new Set([...heardAt(phones, sheet.batch).keys(), ...Object.keys(state.at_stations)]), flame = flameAt(sheet, state);
  const [station] = wanting(sheet, state).filter((id) => id !== own && beside.has(id))
    .sort((a, b) => (b === flame) - (a === flame) || (state.at_stations[b]?.at ?? 0) - (state.at_stations[a]?.at ?? 0) || compareText(a, b));
  return station && unanswered(state, station, since) ? [{ station, since }] : [];
}
