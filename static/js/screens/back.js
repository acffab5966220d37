// Looking back: every entry, newest first; struck through, never away. Two who disagree are settled here.

import { t } from '../record/language.js';
import { history } from '../record/fold.js';
import { actor } from '../record/order.js';
import { key, row, stamp } from './dom.js';
import { entryWords } from './entries.js';
import { panel } from './panel.js';
import { clock } from './times.js';

const QUIET = ['batch_opened', 'struck', 'step_undone', 'countdown_started', 'countdown_stopped'], MOST = 200;
const DISAGREE = { two_corrections: /*t*/'Two corrections', done_or_reopened: /*t*/'Done, or open?', two_took: /*t*/'Two took the boil' };

export function backScreen(ctx, batch) {
  const { root, at } = stamp('list');
  const sheet = ctx.sheet(batch);
  at.title.textContent = t`Look back`;
  let shown = '';

  function strike({ event, ref, at: when }) {
    const isStep = event.kind === 'step_done' || event.kind === 'step_passed';
    const away = isStep ? { kind: 'step_undone', step: event.step, nth: event.nth, station: event.station, body: { target: ref } } : { kind: 'struck', body: { target: ref, reason: 'struck on the phone' } };
    panel({
      title: entryWords(sheet, event), lead: t`${ctx.whose(sheet, event)}, ${clock(when)}. Struck entries stay to be seen.`,
      choices: [
        ...(event.body.sha256 ? [[t`Show it`, () => import('./files.js').then(({ showFile }) => showFile(ctx, event))]] : []),
        [t`Strike through`, () => ctx.write({ batch, ...away })],
        ...(isStep ? [] : elsewhere(event, when).map(({ boil, draft }) => [t`It belongs to boil ${boil.letter}`, () => { ctx.write({ batch, ...away }); ctx.write(draft); }])),
      ],
    });
  }

  /** What was written on the wrong boil: struck here, and said there for the moment it happened. */
  const elsewhere = ({ kind, body, ...event }, when) => ctx.boils().filter(({ id }) => id !== batch).map(({ id, letter }) => (
    { boil: { letter }, draft: { batch: id, kind, body, for: actor(event), happened: when - (ctx.shelf.clock.offset ?? 0), known: 'said' } }));

  function line(entry) {
    const gone = entry.struck_by || entry.replaced_by;
    const said = entry.event.known === 'said' ? t`, said later` : '';
    const li = row({
      what: entryWords(sheet, entry.event),
      more: `${clock(entry.at)}${said}, ${ctx.whose(sheet, entry.event)}${entry.event.signed ? '' : t`, not signed in`}, ${gone ? t`struck through` : t(ctx.shelf.stageOf(entry.ref))}`,
      press: gone ? undefined : () => strike(entry),
    });
    li.classList.toggle('gone', Boolean(gone));
    return li;
  }

  const open = (state) => state.conflicts.map((conflict) => row({ what: t(DISAGREE[conflict.kind]), more: t`Pick the one that holds.`, press: () => settle(ctx, sheet, conflict) }));

  function update() {
    const events = ctx.shelf.events(batch), now = `${events.length} ${JSON.stringify(ctx.shelf.status())}`;
    if (now === shown) return;
    shown = now;
    const entries = history(events).filter(({ kind }) => !QUIET.includes(kind)).reverse();
    at.lead.textContent = entries.length ? t`Press an entry to strike it through.` : t`Nothing yet.`;
    at.rows.replaceChildren(...open(ctx.state(batch)), ...entries.slice(0, MOST).map(line));
    at.feet.replaceChildren(key(t`Back to the station`, () => ctx.go(`/b/${batch}/${ctx.shelf.phone.station || ''}`)));
  }
  return { root, batch, update, up: `/b/${batch}`, where: () => t`Look back` };
}

const CHOICES = {
  two_corrections: ({ refs, words, strike }) => refs.map((ref) => [words(ref), () => refs.filter((other) => other !== ref).forEach(strike)]),
  done_or_reopened: ({ refs, what, write, strike }) => {
    const [step, nth] = what.split('#');
    return [
      [t`It is done`, () => write({ kind: 'step_done', step, nth: nth && Number(nth), body: { after: refs[0] } })],
      [t`It is open`, () => refs.slice(1).forEach(strike)],
    ];
  },
  two_took: ({ refs, write, who, strike, me }) => refs.map((ref) => [t`${who(ref)} has the boil`, () => refs.filter((other) => other !== ref).forEach(strike)])
    .concat([[t`I have the boil`, () => write({ kind: 'boil_taken', body: { from: me() } })]]),
};

/** A person settles what two entries leave open, by picking one. */
function settle(ctx, sheet, { kind, what, refs }) {
  const { batch } = sheet, byRef = new Map(ctx.shelf.events(batch).map((event) => [`${event.device}:${event.seq}`, event]));
  const write = (draft) => ctx.write({ batch, ...draft });
  const choices = CHOICES[kind]({
    refs, what, write, words: (ref) => entryWords(sheet, byRef.get(ref)), who: (ref) => ctx.name(sheet, actor(byRef.get(ref))),
    strike: (target) => write({ kind: 'struck', body: { target, reason: 'settled' } }), me: () => ctx.state(batch).lead.by,
  });
  panel({ title: t`Which one holds?`, lead: t(DISAGREE[kind]), choices });
}
