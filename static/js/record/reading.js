// Readings: from what stood on the instrument to the fixed unit, exactly.

import { say } from './words.js';

/** n/d rounded to the nearest whole number, halves upwards (BigInt, d > 0). */
export function halfUp(n, d) {
  const twice = 2n * n + d, by = 2n * d, q = twice / by;
  return twice < 0n && q * by !== twice ? q - 1n : q;
}

/** `(n/d + offset) · factor` in the record's fixed unit (BigInt). */
export function exactValue(record, unit, n, d) {
  const { factor: [up, down], offset: [add, per] } = record.units[unit];
  const N = BigInt(n), D = BigInt(d), P = BigInt(per);
  return halfUp((N * P + BigInt(add) * D) * BigInt(up), D * P * BigInt(down));
}

/** The fixed value as a number. */
export const fixedValue = (record, unit, n, d) => Number(exactValue(record, unit, n, d));

/** The reading `{n, d}` nearest to a fixed value, at the record's own resolution. */
export function toUnit(record, unit, fixed) {
  const { factor: [up, down], offset: [add, per] } = record.units[unit];
  const P = BigInt(per), U = BigInt(up);
  const n = halfUp((BigInt(fixed) * BigInt(down) * P - BigInt(add) * U) * BigInt(record.d), U * P);
  return { n: Number(n), d: record.d };
}

/** Why a reading can't be used: `record`, `unit`, `scale`, `low`, `high`, or ''. */
export function problemCode(record, body) {
  if (!record) return 'record';
  if (!Object.hasOwn(record.units, body.unit)) return 'unit';
  if (![1, 10, 100, 1000].includes(body.d)) return 'scale';
  const value = exactValue(record, body.unit, body.n, body.d);
  return value < BigInt(record.low) ? 'low' : value > BigInt(record.high) ? 'high' : '';
}

/** The sentence for a reading that can't be kept, naming value and limit; null if it can. */
export function problemWith(record, unit, n, d) {
  const code = problemCode(record, { unit, n, d });
  if (!code) return null;
  if (code === 'unit') return `${record.label} is not read in ${unit}.`;
  if (code === 'scale') return `${record.label}: ${n}/${d} has too many decimals.`;
  const [word, limit] = code === 'low' ? ['under', record.low] : ['over', record.high];
  const seen = say(fixedValue(record, unit, n, d), record.fixed, unit);
  return `${seen} is ${word} ${say(limit, record.fixed, unit)}, the limit for ${record.label.toLowerCase()}. Read again.`;
}
