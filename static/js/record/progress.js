// Steps: done, passed, reopened; what they leave owed; the moments they mark.

import { actor, at, byKey, compareEvents, compareText, compareTimes, gather, refOf } from './order.js';

/** `name`, or `name#nth`. */
export const numbered = (name, nth) => (nth ? `${name}#${nth}` : name);

const stepsByKey = (live) => byKey(gather(live.of('step_done', 'step_passed', 'step_undone'), (e) => numbered(e.step, e.nth)));
const newestUndone = (events) => events.findLast((e) => e.kind === 'step_undone');

function saw(event, undone) {
  return (event.device === undone.device && event.seq > undone.seq) || (event.body.after ?? '') === refOf(undone);
}

/** Dones and passes that had seen the newest reopening: reopened wins over an unseen done. */
function counting(events) {
  const undone = newestUndone(events);
  const finished = events.filter((e) => e.kind !== 'step_undone');
  return undone ? finished.filter((e) => saw(e, undone)) : finished;
}

function entry(event, state, others) {
  return {
    state, at: at(event), by: actor(event), recorded: event.recorded + (event.offset ?? 0), known: event.known,
    ref: refOf(event), reason: event.body.reason ?? '',
    also: others.map((e) => ({ by: actor(e), at: at(e), ref: refOf(e) })),
  };
}

function one(events) {
  const finished = counting(events);
  if (!finished.length) return entry(newestUndone(events), 'reopened', []);
  const kind = finished.some((e) => e.kind === 'step_done') ? 'step_done' : 'step_passed';
  const [first, ...others] = finished.filter((e) => e.kind === kind).sort(compareTimes);
  return entry(first, kind === 'step_done' ? 'done' : 'passed', others);
}

/** State of every step that was ever touched. */
export function foldSteps(sheet, live) {
  return Object.fromEntries(stepsByKey(live).map(([key, events]) => [key, one(events)]));
}

/** A step reopened by one person and done by another who had not seen that. */
export function reopenedUnseen(sheet, live) {
  return stepsByKey(live).flatMap(([what, events]) => {
    const undone = newestUndone(events);
    if (!undone || counting(events).length) return [];
    const unseen = events.filter((e) => compareEvents(e, undone) > 0);
    return unseen.length ? [{ kind: 'done_or_reopened', what, refs: [undone, ...unseen].map(refOf) }] : [];
  });
}

/** Name → when the step that marks it was done. */
export function moments(sheet, live, steps) {
  const found = {};
  for (const [key, step] of Object.entries(steps))
    if (step.state === 'done' && !key.includes('#') && sheet.steps[key].moment) found[sheet.steps[key].moment] = step.at;
  return found;
}

/** Steps taken off this batch's sheet, in alphabetical order. */
export function dropped(sheet, live) {
  const last = new Map(live.of('sheet_amended').map((e) => [e.step, e.body.change]));
  return [...last].filter(([, change]) => change === 'drop').map(([step]) => step).sort(compareText);
}

/** Readings that finished steps still lack, then what people added; less what was paid. */
export function owed(sheet, live, steps, values) {
  const paid = new Set(live.of('owed_paid').map((e) => e.body.key));
  const ever = new Set(Object.keys(values).map((key) => key.split('#')[0]));
  const lacking = Object.entries(steps).filter(([, step]) => step.state !== 'reopened').flatMap(([key, step]) => {
    const [name, nth] = key.split('#');
    return sheet.steps[name].record.filter((what) => (nth ? !Object.hasOwn(values, numbered(what, nth)) : !ever.has(what)))
      .map((what) => ({ key: `${key}:${what}`, step: key, what, text: '', because: '', since: step.at, by: step.by }));
  });
  const added = live.of('owed_added').map((e) => ({ key: refOf(e), step: '', what: '', text: e.body.text, because: e.body.because ?? '', since: at(e), by: actor(e) }));
  return [...lacking, ...added].filter(({ key }) => !paid.has(key));
}
