// The one order of events, and when each happened.

// Surrogates stand below U+E000 as code units but above it as code points.
const rank = (unit) => (unit < 0xd800 ? unit : unit < 0xe000 ? unit + 0x2000 : unit - 0x800);

/** Compares texts by code point, as Python does. */
export function compareText(a, b) {
  const length = Math.min(a.length, b.length);
  for (let i = 0; i < length; i++) {
    const x = a.charCodeAt(i), y = b.charCodeAt(i);
    if (x !== y) return rank(x) - rank(y);
  }
  return a.length - b.length;
}

/** `(hlc ms, hlc count, device, seq)`: the only order anybody uses. */
export function compareEvents(a, b) {
  return a.hlc[0] - b.hlc[0] || a.hlc[1] - b.hlc[1]
    || (a.device < b.device ? -1 : a.device > b.device ? 1 : 0) || a.seq - b.seq;
}

const REF = Symbol('ref');

/** The text `device:seq` by which other events name this one; made once for each event. */
export const refOf = (event) => (event[REF] ??= `${event.device}:${event.seq}`);

/** When it happened, on the corrected clock [ms since 1970]. */
export const at = (event) => event.happened + (event.offset ?? 0);

/** Whose act it is: of the person it was pressed for, else of the presser; '' = not known. */
export const actor = (event) => event.for || event.by;

/** By when it happened, then by the order. */
export const compareTimes = (a, b) => at(a) - at(b) || compareEvents(a, b);

/** Each event once, in the one order. */
export function inOrder(events) {
  return [...new Map(events.map((event) => [refOf(event), event])).values()].sort(compareEvents);
}

/** Entries of a Map, by code point of the key. */
export const byKey = (map) => [...map].sort(([a], [b]) => compareText(a, b));

/** Items gathered under `keyOf(item)`, in the order they came. */
export function gather(items, keyOf) {
  const found = new Map();
  for (const item of items) {
    const key = keyOf(item);
    found.has(key) ? found.get(key).push(item) : found.set(key, [item]);
  }
  return found;
}
