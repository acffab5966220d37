// Readings: from what stood on the instrument to the fixed unit, exactly.

import { t, within } from './language.js';
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

// Steps of a scale or gauge about as fine as the metric ones.
const FINER = { oz: 100, in: 1000, lb: 100, kg: 1000, 'g/cm3': 1000 };

/** Parts of one in which a unit is entered: the record's own, or finer where it is coarser. */
export const parts = (record, unit) => (unit === record.unit ? record.d : Math.max(record.d, FINER[unit] ?? 1));

/** The reading `{n, d}` nearest to a fixed value, at the resolution of its entry. */
export function toUnit(record, unit, fixed) {
  const d = parts(record, unit);
  const { factor: [up, down], offset: [add, per] } = record.units[unit];
  const P = BigInt(per), U = BigInt(up);
  const n = halfUp((BigInt(fixed) * BigInt(down) * P - BigInt(add) * U) * BigInt(d), U * P);
  return { n: Number(n), d };
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
  if (code === 'unit') return t`${record.label} is not read in ${unit}.`;
  if (code === 'scale') return t`${record.label}: ${n}/${d} has too many decimals.`;
  const low = code === 'low', limit = say(low ? record.low : record.high, record.fixed, unit), label = within(record.label);
  const seen = say(fixedValue(record, unit, n, d), record.fixed, unit);
  return low ? t`${seen} is under ${limit}, the limit for ${label}. Read again.` : t`${seen} is over ${limit}, the limit for ${label}. Read again.`;
}
