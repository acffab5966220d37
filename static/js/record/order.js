// The one order of events, and when each happened.

/** Compares texts by code point, as Python does. */
export function compareText(a, b) {
  const x = [...a], y = [...b];
  for (let i = 0; i < x.length && i < y.length; i++)
    if (x[i] !== y[i]) return x[i].codePointAt(0) - y[i].codePointAt(0);
  return x.length - y.length;
}

/** `(hlc ms, hlc count, device, seq)`: the only order anybody uses. */
export function compareEvents(a, b) {
  return a.hlc[0] - b.hlc[0] || a.hlc[1] - b.hlc[1]
    || (a.device < b.device ? -1 : a.device > b.device ? 1 : 0) || a.seq - b.seq;
}

/** The text `device:seq` by which other events name this one. */
export const refOf = (event) => `${event.device}:${event.seq}`;

/** When it happened, on the corrected clock [ms since 1970]. */
export const at = (event) => event.happened + (event.offset ?? 0);

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
