// Looking back: every entry, newest first; striking through, never away. Two who disagree are settled here.

import { history } from '../record/fold.js';
import { clock, key, row, stamp } from './dom.js';
import { panel } from './panel.js';
import { shown, unitWords } from './reading.js';

const QUIET = ['batch_opened', 'struck', 'step_undone', 'countdown_started', 'countdown_stopped'];

/** An entry in words. */
export function entryWords(sheet, { kind, step, nth, body }) {
  const call = step ? sheet.steps[step]?.call ?? step : '';
  const record = sheet.records[body.what];
  return {
    step_done: () => `${call}${nth ? ` ${nth}` : ''}: done`,
    step_passed: () => `${call}: passed, ${body.reason}`,
    reading_taken: () => `${record?.label ?? body.what}${nth ? ` ${nth}` : ''}: ${shown(body.n, body.d)} ${unitWords(body.unit)}`,
    tally_counted: () => `${body.what} +${body.add}`,
    note_written: () => `“${body.text}”`,
    went_off: () => `Went off: ${sheet.marks.find(({ id }) => id === body.code)?.words ?? body.text}`,
    mended: () => `Changed: ${body.text}`,
    handover_offered: () => (body.glance ? 'Glance card offered' : 'Handover offered'),
    handover_taken: () => 'Handover taken',
    boil_taken: () => 'Took the boil',
    hazards_read: () => 'Cautions read together',
    interrupted: () => 'Interrupted',
    carried_on: () => `Carried on: ${body.how}`,
  }[kind]?.() ?? kind.replaceAll('_', ' ');
}

export function backScreen(ctx, batch) {
  const { root, at } = stamp('list');
  const sheet = ctx.shelf.sheet(batch);
  at.title.textContent = 'Look back';
  let count = -1;

  function strike(entry) {
    const { event, ref } = entry;
    panel({
      title: entryWords(sheet, event),
      lead: `${ctx.name(sheet, event.by)}, ${clock(entry.at)}. Struck entries stay visible.`,
      choices: [['Strike through', () => (event.kind === 'step_done' || event.kind === 'step_passed'
        ? ctx.write({ batch, kind: 'step_undone', step: event.step, nth: event.nth, station: event.station, body: { target: ref } })
        : ctx.write({ batch, kind: 'struck', body: { target: ref, reason: 'struck on the phone' } }))]],
    });
  }

  function line(entry) {
    const gone = entry.struck_by || entry.replaced_by;
    const item = row({
      what: entryWords(sheet, entry.event),
      more: `${clock(entry.at)}, ${ctx.name(sheet, entry.event.by)}, ${gone ? 'struck through' : ctx.shelf.stageOf(entry.ref)}`,
      press: () => { if (!gone) strike(entry); },
    });
    item.classList.toggle('gone', Boolean(gone));
    return item;
  }

  function conflicts(state) {
    return state.conflicts.map(({ kind, what, refs }) => row({
      what: { two_corrections: 'Two corrections', done_or_reopened: 'Done or open?', two_took: 'Two took the boil' }[kind],
      more: what, press: () => settle(ctx, sheet, { kind, what, refs }),
    }));
  }

  function update() {
    const events = ctx.shelf.events(batch);
    if (events.length === count) return;
    count = events.length;
    const entries = history(events).filter(({ kind }) => !QUIET.includes(kind)).reverse();
    at.lead.textContent = entries.length ? 'Press an entry to strike it through.' : 'Nothing yet.';
    at.rows.replaceChildren(...conflicts(ctx.state(batch)), ...entries.slice(0, 200).map(line));
    at.feet.replaceChildren(key('Back to the stations', () => ctx.go(`/b/${batch}`)));
  }
  return { root, batch, update, where: () => 'Look back' };
}

/** A person settles what two entries leave open. */
function settle(ctx, sheet, { kind, what, refs }) {
  const { batch } = sheet, [step, nth] = what.split('#');
  const byRef = new Map(ctx.shelf.events(batch).map((event) => [`${event.device}:${event.seq}`, event]));
  const choices = {
    two_corrections: () => refs.map((ref) => [entryWords(sheet, byRef.get(ref)), () => refs.filter((other) => other !== ref)
      .forEach((other) => ctx.write({ batch, kind: 'struck', body: { target: other, reason: 'settled' } }))]),
    done_or_reopened: () => [
      ['It is done', () => ctx.write({ batch, kind: 'step_done', step, nth: nth && Number(nth), body: { after: refs[0] } })],
      ['It is open', () => refs.slice(1).forEach((ref) => ctx.write({ batch, kind: 'struck', body: { target: ref, reason: 'settled' } }))],
    ],
    two_took: () => [['I have the boil', () => ctx.write({ batch, kind: 'boil_taken', body: { from: ctx.state(batch).lead.by } })]],
  }[kind]();
  panel({ title: 'Which one holds?', choices });
}
