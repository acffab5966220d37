// Figures of the reckoning as people read them: the big number, its unit, what it is, how sure.

import { t } from '../record/language.js';
import { say, sayRange } from '../record/words.js';
import { clock } from './times.js';

const NARROW = '\u202f';
const graphs = new WeakMap();

function quantity(sheet, name) {
  if (!graphs.has(sheet)) graphs.set(sheet, new Map(sheet.graph.map((q) => [q.name, q])));
  return graphs.get(sheet).get(name);
}

/** In words, with a range where it is predicted. `wanted`: the phone's own units by fixed unit. */
export function figureWords(sheet, state, name, wanted = {}) {
  const { unit, spread } = quantity(sheet, name), value = state.figures[name];
  if (unit === 'time') return value === null ? '–' : clock(value);
  return sayRange(value, spread, unit, wanted[unit] ?? '', 1);
}

/** `{number, unit, says, predicted}` for two metres away: whole degrees, one number. */
export function bigFigure(sheet, state, name, wanted = {}) {
  const { unit, spread, says } = quantity(sheet, name), value = state.figures[name];
  if (value === null) return { number: '–', unit: '', says, predicted: '' };
  const [number, sign = ''] = unit === 'time' ? [clock(value)] : say(value, unit, wanted[unit] ?? '', 0).split(NARROW);
  return { number, unit: sign, says, predicted: spread ? figureWords(sheet, state, name, wanted) : '' };
}

/** Since when a prediction stands: the newest reading it can rest on. */
export function restsOn(state) {
  const newest = Object.values(state.values).reduce((last, { at }) => Math.max(last, at), 0);
  return newest ? t`as of ${clock(newest)}` : t`from the plan`;
}
