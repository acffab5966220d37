// An entry of the record in words.

import { offWords } from './choices.js';
import { shown, unitWords } from './reading.js';

const numbered = (words, nth) => (nth ? `${words} ${nth}` : words);

const WORDS = {
  step_done: ({ call, nth }) => `${numbered(call, nth)}: done`,
  step_passed: ({ call, nth, body }) => `${numbered(call, nth)}: passed, ${body.reason}`,
  reading_taken: ({ sheet, nth, body }) => `${numbered(sheet.records[body.what]?.label ?? body.what, nth)}: ${shown(body.n, body.d)} ${unitWords(body.unit)}`,
  tally_counted: ({ body }) => `${body.what} ${body.add < 0 ? '−' : '+'}${Math.abs(body.add)}`,
  log_turned: () => 'Log turned end for end',
  photo_taken: ({ body }) => `Photo${body.what ? `: ${body.what}` : ''}`,
  sound_kept: () => 'Spoken note',
  note_written: ({ body }) => `“${body.text}”`,
  went_off: ({ sheet, body }) => `Went off: ${offWords(sheet, { text: '', what: '', ...body })}`,
  mended: ({ body }) => `What we changed: ${body.text}`,
  owed_added: ({ body }) => `Owed: ${body.text}`,
  owed_paid: ({ body }) => `No longer owed: ${body.reason}`,
  handover_offered: ({ body }) => (body.glance ? 'Glance card shown' : 'Handover offered'),
  handover_taken: ({ body }) => `Handover taken. ${body.questions}`,
  boil_taken: () => 'Took the boil',
  hazards_read: () => 'Cautions read together',
  interrupted: ({ body }) => `Interrupted: ${body.cause}`,
  seen: () => 'Seen',
  stood_in: ({ sheet, station }) => `Watches over: ${sheet.stations.find(({ id }) => id === station)?.name ?? station}`,
  carried_on: ({ body }) => `Then: ${body.how}`,
};

export function entryWords(sheet, { kind, station, step, nth, body }) {
  const call = step ? sheet.steps[step]?.call ?? step : '';
  return WORDS[kind]?.({ sheet, station, call, nth, body }) ?? kind.replaceAll('_', ' ');
}
