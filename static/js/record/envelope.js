// Whether a line that came by another way than the shop's is an event: its envelope, as
// shop/record/check.py asks it. Without it the fold could not even put it in order.

import { canonical } from './canonical.js';

const LONGEST = 8192, FAR = 2 ** 51, DEEPEST = 32;
const TEXTS = ['device', 'kind', 'batch', 'by', 'known'], NUMBERS = ['seq', 'v', 'recorded', 'happened', 'within'];
const PLACES = ['station', 'step', 'block', 'for', 'signed'], CLOCKS = ['offset', 'bound'], KNOWN = ['pressed', 'said', 'countdown'];

const isObject = (value) => value !== null && typeof value === 'object' && !Array.isArray(value);
const isText = (value) => typeof value === 'string';
const isWhole = (value) => Number.isInteger(value) && Math.abs(value) < FAR;
const isHlc = (value) => Array.isArray(value) && value.length === 2 && value.every((v) => isWhole(v) && v >= 0);

/** Whether lists and objects stand in each other more than 32 deep. */
function isDeep(value) {
  let level = [value];
  for (let n = 0; n < DEEPEST && level.length; n += 1) level = level.flatMap((one) => (one && typeof one === 'object' ? Object.values(one) : []));
  return level.some((one) => one && typeof one === 'object');
}

/** Whether an object has an event's envelope; its body is judged with its sheet. */
const fits = (event) => isObject(event)
  && TEXTS.every((key) => isText(event[key])) && NUMBERS.every((key) => isWhole(event[key]))
  && PLACES.every((key) => isText(event[key] ?? '') && event[key] !== null)
  && CLOCKS.every((key) => event[key] === null || isWhole(event[key]))
  && isWhole(event.nth ?? 1) && event.nth !== null && (event.nth ?? 1) >= 1
  && isHlc(event.hlc) && isObject(event.body) && event.seq >= 1 && KNOWN.includes(event.known);

/** The event on a line as a phone makes it, in its canonical form; null for anything else. */
export function eventOn(line) {
  if (line.length > LONGEST) return null;
  try {
    const event = JSON.parse(line);
    return !isDeep(event) && fits(event) && canonical(event) === line ? event : null;
  } catch { return null; }
}
