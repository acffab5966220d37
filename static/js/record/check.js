// Whether an event can be used with a sheet; shop/record/check.py gives the same codes.

import { bodyFits } from './kinds.js';
import { problemCode } from './reading.js';

const ON_A_STEP = ['step_done', 'step_undone', 'step_passed', 'sheet_amended'];
const MOST_COUNTED = 100000;

const judged = new WeakMap();

/** Why a readable event can't be used with this sheet; '' if it can. Neither ever changes, so each
 * pair is judged once. */
export function misfit(sheet, event) {
  const known = judged.get(event);
  if (known?.sheet === sheet) return known.code;
  const code = judge(sheet, event);
  judged.set(event, { sheet, code });
  return code;
}

function judge(sheet, event) {
  const { kind, body, step } = event;
  if (event.batch !== sheet.batch) return 'batch';
  if (!bodyFits(kind, body)) return 'body';
  if (step !== undefined && step !== null && !Object.hasOwn(sheet.steps, step)) return 'step';
  if (ON_A_STEP.includes(kind)) return step === undefined || step === null ? 'step' : '';
  if (kind === 'reading_taken') return problemCode(Object.hasOwn(sheet.records, body.what) ? sheet.records[body.what] : null, body);
  if (kind === 'tally_counted' && !(body.add && Math.abs(body.add) <= MOST_COUNTED)) return 'count';
  return '';
}
