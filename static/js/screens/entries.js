// An entry of the record in words.

import { t } from '../record/language.js';
import { offWords } from './choices.js';
import { markOf } from './lots.js';
import { shown, unitWords } from './reading.js';

const lotUsed = (material, body) => (material ? t`${material.name} from ${markOf(material, body.lot)}` : t`Lot ${body.lot}`);
const numbered = (words, nth) => (nth ? `${words} ${nth}` : words);

/** What a photo or a spoken note is of: what was said of it, else its step. */
const of = (words, { call, nth, body }) => [words, body.what || (call && numbered(call, nth))].filter(Boolean).join(': ');

const WORDS = {
  step_done: ({ call, nth }) => t`${numbered(call, nth)}: done`,
  step_passed: ({ call, nth, body }) => t`${numbered(call, nth)}: passed, ${t(body.reason)}`,
  reading_taken: ({ sheet, nth, body }) => `${numbered(sheet.records[body.what]?.label ?? body.what, nth)}: ${shown(body.n, body.d)} ${unitWords(body.unit)}`,
  tally_counted: ({ body }) => `${body.what} ${body.add < 0 ? '−' : '+'}${Math.abs(body.add)}`,
  lot_used: ({ sheet, body }) => lotUsed((sheet.materials ?? []).find(({ id }) => id === body.material), body),
  log_turned: () => t`Log turned end for end`,
  photo_taken: (entry) => of(t`Photo`, entry),
  sound_kept: (entry) => of(t`Spoken note`, entry),
  note_written: ({ body }) => `“${body.text}”`,
  went_off: ({ sheet, body }) => t`Went off: ${offWords(sheet, { text: '', what: '', ...body })}`,
  mended: ({ body }) => t`What we changed: ${t(body.text)}`,
  owed_added: ({ body }) => t`Owed: ${t(body.text)}`,
  owed_paid: ({ body }) => t`No longer owed: ${t(body.reason)}`,
  handover_offered: ({ body }) => (body.glance ? t`Glance card shown` : t`Handover offered`),
  handover_taken: ({ body }) => t`Handover taken. ${body.questions}`,
  boil_taken: () => t`Took the boil`,
  hazards_read: () => t`Cautions read together`,
  interrupted: ({ body }) => t`Interrupted: ${t(body.cause)}`,
  seen: () => t`Seen`,
  stood_in: ({ sheet, station }) => t`Watches over: ${sheet.stations.find(({ id }) => id === station)?.name ?? station}`,
  carried_on: ({ body }) => t`Then: ${t(body.how)}`,
};

export function entryWords(sheet, { kind, station, step, nth, body }) {
  const call = step ? sheet.steps[step]?.call ?? step : '';
  return WORDS[kind]?.({ sheet, station, call, nth, body }) ?? kind.replaceAll('_', ' ');
}
