// Values as people read them; shop/record/words.py gives the same text.

import { point } from './language.js';

const NARROW = '\u202f';

function scaledHalfUp(n, d) {
  return Math.floor((2 * n + d) / (2 * d));
}

/** n/d with a fixed number of decimals, halves upwards. */
export function decimal(n, d, places) {
  const ten = 10 ** places, scaled = scaledHalfUp(n * ten, d), size = Math.abs(scaled);
  const part = places ? `${point()}${String(size % ten).padStart(places, '0')}` : '';
  return `${scaled < 0 ? '\u2212' : ''}${Math.floor(size / ten)}${part}`;
}

const unit = (text, name) => `${text}${NARROW}${name}`;

/** Under a pound in ounces: what is weighed on a bench scale. */
const pounds = (v) => Math.abs(v) * 100 < 45359237 ? unit(decimal(v * 1600, 45359237, 2), 'oz') : unit(decimal(v * 100, 45359237, 2), 'lb');

const FORMS = {
  'm°C': (v, wanted, places) => wanted === 'degF' ? unit(decimal(v * 9 + 160000, 5000, places), '°F') : unit(decimal(v, 1000, places), '°C'),
  mK: (v, wanted, places) => wanted === 'degF' ? unit(decimal(v * 9, 5000, places), '°F') : unit(decimal(v, 1000, places), 'K'),
  mg: (v, wanted) => wanted === 'lb' ? pounds(v)
    : Math.abs(v) >= 1e6 ? unit(decimal(v, 1e6, 2), 'kg') : unit(decimal(v, 1000, Math.abs(v) < 1e4 ? 1 : 0), 'g'),
  um: (v, wanted) => wanted === 'in' ? unit(decimal(v, 25400, Math.abs(v) < 1e5 ? 3 : 2), 'in')
    : Math.abs(v) >= 1e6 ? unit(decimal(v, 1e6, 1), 'm') : unit(decimal(v, 1000, Math.abs(v) < 1e5 ? 1 : 0), 'mm'),
  ppm: (v) => unit(decimal(v, 10000, Math.abs(v) < 1e5 ? 1 : 0), '%'),
  ms: (v) => Math.abs(v) < 120000 ? unit(decimal(v, 1000, 0), 's') : unit(decimal(v, 60000, 0), 'min'),
  ratio: (v) => unit(decimal(v, 1e6, 1), '×'),
  um2: (v) => unit(decimal(v, 1e6, 0), 'mm²'),
  mm3: (v) => unit(decimal(v, 1e6, 2), 'L'),
  'g/m3': (v) => unit(decimal(v, 1000, 0), 'kg/m³'),
  Pa: (v) => unit(decimal(v, 100, 0), 'hPa'),
  1: (v) => decimal(v, 1, 0),
};

/** The value in words, `–` where it is not known. `wanted` may be degF, lb or in. */
export function say(value, unitName, wanted = '', places = 1) {
  return value === null || value === undefined ? '–' : FORMS[unitName](value, wanted, places);
}

/** `low to high` where the spread [ppm] is not nought, else the value. */
export function sayRange(value, spread, unitName, wanted = '', places = 1) {
  if (value === null || value === undefined || !spread) return say(value, unitName, wanted, places);
  const half = scaledHalfUp(Math.abs(value) * spread, 1e6);
  const [low, high] = [value - half, value + half].map((v) => say(v, unitName, wanted, places));
  return low === high ? low : `${low.split(NARROW)[0]}–${high}`;
}
