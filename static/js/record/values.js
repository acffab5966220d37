// Readings: which value stands for each thing that is written down.

import { actor, at, byKey, compareEvents, compareText, compareTimes, gather, refOf } from './order.js';
import { numbered } from './progress.js';
import { fixedValue } from './reading.js';

/** Readings that replace an earlier one which is there. */
function corrections(live) {
  const where = new Map(live.of('reading_taken').map((e) => [refOf(e), e]));
  return live.of('reading_taken').filter((e) => {
    const target = where.get(e.body.instead_of ?? '');
    return target && compareEvents(target, e) < 0;
  });
}

const replacedBy = (events) => new Set(events.map((e) => e.body.instead_of));
const valueKey = (event) => numbered(event.body.what, event.nth);

function value(sheet, events) {
  const newest = [...events].sort(compareTimes).at(-1);
  const { what, n, d, unit, instrument, how } = newest.body;
  return {
    value: fixedValue(sheet.records[what], unit, n, d), at: at(newest), by: actor(newest), ref: refOf(newest),
    count: events.length, n, d, unit, instrument, how,
  };
}

/** `what` or `what#nth` → the newest reading that was not corrected, by when it happened. */
export function foldValues(sheet, live) {
  const replaced = replacedBy(corrections(live));
  const standing = live.of('reading_taken').filter((e) => !replaced.has(refOf(e)));
  return Object.fromEntries(byKey(gather(standing, valueKey)).map(([key, events]) => [key, value(sheet, events)]));
}

/** Keys of a record's values by name, the newest last, whichever repeat each belongs to. */
export function keysByRecord(values) {
  const found = gather(Object.keys(values), (key) => key.split('#')[0]);
  for (const keys of found.values()) keys.sort((a, b) => values[a].at - values[b].at || compareText(a, b));
  return found;
}

/** Name of each record → its newest value. */
export function latest(sheet, live, values) {
  return Object.fromEntries([...keysByRecord(values)].map(([what, keys]) => [what, values[keys.at(-1)].value]));
}

/** One reading corrected twice by people who had not seen each other: a person must settle. */
export function twoCorrections(sheet, live) {
  const made = corrections(live), replaced = replacedBy(made);
  return byKey(gather(made.filter((e) => !replaced.has(refOf(e))), (e) => e.body.instead_of))
    .filter(([, events]) => events.length > 1)
    .map(([, events]) => ({ kind: 'two_corrections', what: valueKey(events[0]), refs: events.map(refOf) }));
}
