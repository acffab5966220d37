// The kinds of event and the form of each body; a test holds this to shop/record/kinds.py.

export const VERSION = 1;
const FAR = 2 ** 51;

export const SHAPES = {
  batch_opened: { sheet: 'text', lead: 'text' },
  batch_closed: {},
  batch_given_up: { mg: 'int', text: 'text' },
  step_done: { after: 'text?' },
  step_undone: { target: 'text' },
  step_passed: { reason: 'text', after: 'text?' },
  reading_taken: { what: 'text', n: 'int', d: 'int', unit: 'text', instrument: 'text', how: 'text', instead_of: 'text?' },
  struck: { target: 'text', reason: 'text?' },
  owed_added: { text: 'text', because: 'text?' },
  owed_paid: { key: 'text', reason: 'text' },
  tally_counted: { what: 'text', add: 'int' },
  lot_used: { material: 'text', lot: 'text', mg: 'int?', also: 'int?' },
  log_turned: { after: 'text?' },
  note_written: { text: 'text' },
  photo_taken: { sha256: 'text', size: 'int', type: 'text', what: 'text?' },
  sound_kept: { sha256: 'text', size: 'int', type: 'text', what: 'text?' },
  hazards_read: { people: 'texts' },
  countdown_started: { id: 'text', label: 'text', deadline: 'int' },
  countdown_stopped: { id: 'text' },
  went_off: { code: 'text', text: 'text?' },
  mended: { id: 'text', text: 'text' },
  handover_offered: { to: 'text', glance: 'int' },
  handover_taken: { target: 'text', questions: 'text', walked: 'texts?', right: 'int?' },
  walk_stamped: { target: 'text', places: 'texts' },
  boil_taken: { from: 'text' },
  seen: { target: 'text' },
  stood_in: {},
  stands_beside: { skill: 'text', who: 'text' },
  crew_changed: { crew: 'people' },
  sheet_amended: { change: 'text', reason: 'text' },
  interrupted: { cause: 'text' },
  carried_on: { target: 'text', how: 'text' },
};

const isObject = (value) => value !== null && typeof value === 'object' && !Array.isArray(value);
const isText = (value) => typeof value === 'string';
const isPerson = (value) => isObject(value) && ['id', 'name', 'role'].every((key) => Object.hasOwn(value, key)) && Object.values(value).every(isText);
const FORMS = {
  text: isText,
  int: (value) => Number.isInteger(value) && Math.abs(value) < FAR,
  texts: (value) => Array.isArray(value) && value.every(isText),
  people: (value) => Array.isArray(value) && value.every(isPerson),
};

const CHECKS = Object.fromEntries(Object.entries(SHAPES).map(([kind, shape]) => [kind, Object.entries(shape)
  .map(([name, form]) => ({ name, fits: FORMS[form.replace('?', '')], optional: form.endsWith('?') }))]));

/** Whether a body has all it must have, and nothing of the wrong form. */
export function bodyFits(kind, body) {
  return isObject(body) && CHECKS[kind].every(({ name, fits, optional }) => (Object.hasOwn(body, name) ? fits(body[name]) : optional));
}

/** Of a kind or version this app does not know: kept, and folded over. */
export const isUnread = (event) => !Object.hasOwn(SHAPES, event.kind) || event.v > VERSION;
