// The simpler sides of the state: life of the batch, tallies, notes, countdowns, interruptions.

import { actor, at, byKey, compareEvents, compareText, compareTimes, gather, refOf } from './order.js';

/** Whether the batch is planned, open, closed or given up, since when, and what came late. */
export function life(sheet, live) {
  const [opened] = live.of('batch_opened');
  const [ended] = live.of('batch_closed', 'batch_given_up');
  const phase = ended ? (ended.kind === 'batch_closed' ? 'closed' : 'given_up') : opened ? 'open' : 'planned';
  return {
    batch: sheet.batch, phase, opened_at: opened ? at(opened) : null, ended_at: ended ? at(ended) : null,
    given_up: ended?.body.mg ?? null,
    late: ended ? live.events.filter((e) => compareEvents(e, ended) > 0).map(refOf) : [],
  };
}

/** What was counted → how many. */
export function tallies(sheet, live) {
  const counted = gather(live.of('tally_counted'), (e) => e.body.what);
  return Object.fromEntries(byKey(counted).map(([what, events]) => [what, events.reduce((n, e) => n + e.body.add, 0)]));
}

const hand = (e) => ({ by: actor(e), at: at(e) });

/** Name → who made the newest of its events, and when; one walk, for this is asked at every press. */
function newestBy(events, keyOf) {
  const newest = new Map();
  for (const e of events) {
    const name = keyOf(e), known = newest.get(name);
    if (!known || compareTimes(known, e) < 0) newest.set(name, e);
  }
  return byKey(newest).map(([name, e]) => [name, hand(e)]);
}

/** What was counted → when last, and by whom. */
const counted = (live) => Object.fromEntries(newestBy(live.of('tally_counted'), (e) => e.body.what));

/** Lots by material: the newest said stands, and those said to be used beside it. */
export function lots(sheet, live) {
  const standing = new Map();
  for (const e of [...live.of('lot_used')].sort(compareTimes)) {
    const { material, lot, mg = null, also } = e.body, beside = also ? standing.get(material) ?? [] : [];
    standing.set(material, [...beside.filter((used) => used.lot !== lot), { material, lot, mg, ...hand(e), ref: refOf(e) }]);
  }
  return { lots: byKey(standing).flatMap(([, used]) => used) };
}

const AT_WORK = ['reading_taken', 'step_done', 'step_passed', 'stood_in', 'tally_counted'];

/** Station → who last worked there, and when. */
const atStations = (live) => Object.fromEntries(newestBy(AT_WORK.flatMap((kind) => live.list(kind)).filter(({ station }) => station), ({ station }) => station));

export const whereabouts = (sheet, live) => ({ counted: counted(live), at_stations: atStations(live) });

const note = (e) => ({ ref: refOf(e), text: e.body.text, at: at(e), by: actor(e), station: e.station ?? '' });

function file(e) {
  const { sha256, size, type, what = '' } = e.body;
  return { ref: refOf(e), kind: e.kind === 'photo_taken' ? 'photo' : 'sound', sha256, size, type, what, at: at(e), by: actor(e), station: e.station ?? '' };
}

function countdown(e) {
  const { id, label, deadline } = e.body;
  return { id, label, deadline: deadline + (e.offset ?? 0), started: at(e), by: actor(e), station: e.station ?? '' };
}

/** Countdowns that were started and not answered, by deadline on the corrected clock. */
function countdowns(live) {
  const running = new Map();
  for (const e of live.of('countdown_started', 'countdown_stopped')) {
    running.delete(e.body.id);
    if (e.kind === 'countdown_started') running.set(e.body.id, countdown(e));
  }
  return [...running.values()].sort((a, b) => a.deadline - b.deadline || compareText(a.id, b.id));
}

/** Interruptions and how each ended. */
function interrupted(live) {
  const ends = new Map(live.of('carried_on').map((e) => [e.body.target, { at: at(e), how: e.body.how }]));
  return live.of('interrupted').map((e) => ({ ref: refOf(e), cause: e.body.cause, at: at(e), by: actor(e), ended: ends.get(refOf(e)) ?? null }));
}

/** Notes, photos and sounds, running countdowns, interruptions. */
export const words = (sheet, live) => ({ notes: live.of('note_written').map(note), files: live.of('photo_taken', 'sound_kept').map(file), countdowns: countdowns(live), interrupted: interrupted(live) });
