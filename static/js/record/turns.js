// The log turned end for end: which rods read from their other end; shop/record/turns.py is the same.

import { t } from './language.js';
import { actor, at, compareTimes, refOf } from './order.js';

const RODS = 'rods';

function rodsBefore(live, event) {
  return live.of('tally_counted').filter((e) => e.body.what === RODS && compareTimes(e, event) < 0).reduce((n, { body }) => n + body.add, 0);
}

function turn(live, same) {
  const [first] = same, refs = same.map(refOf), seen = live.of('seen').find(({ body }) => refs.includes(body.target));
  return { refs, at: at(first), by: actor(first), from_rod: rodsBefore(live, first) + 1, seen: seen ? { by: actor(seen), at: at(seen) } : null };
}

/** Each turn once, by time. Two entries that follow the same turn tell of one: two people pressed, neither had seen the other's press. */
function turnsOf(live) {
  const stands = new Map(), found = new Map();
  for (const event of live.of('log_turned')) {
    const { after = '' } = event.body, before = stands.get(after) ?? after, same = found.get(before) ?? [];
    found.set(before, [...same, event]);
    stands.set(refOf(event), refOf(same[0] ?? event));
  }
  return [...found.values()].map((same) => same.sort(compareTimes)).sort(([a], [b]) => compareTimes(a, b)).map((same) => turn(live, same));
}

/** Whether rods now read from their other end (0/1), and each turn with who has seen it. */
export function turned(sheet, live) {
  const turns = turnsOf(live);
  return { reading_end_turned: turns.length % 2, turns };
}

/** Stretches of rods, `to` null for the last: `turned` 1 where they read from the other end. */
export function rodEnds(turns) {
  const starts = [1, ...turns.map(({ from_rod: from }) => from)];
  return starts.map((from, i) => ({ from, to: i + 1 < starts.length ? starts[i + 1] - 1 : null, turned: i % 2 }))
    .filter(({ from, to }) => to === null || to >= from);
}

const rods = ({ from, to }) => (to === null ? t`rods ${from} on` : from === to ? t`rod ${from}` : t`rods ${from} to ${to}`);

/** Which end reads, in words: the log's mark, then the rods that came the other way round. */
export function readingEnd(sheet, turns) {
  const words = sheet.picture.reading_end, other = rodEnds(turns).filter((stretch) => stretch.turned).map(rods).join(', ');
  return other ? t`${words}; the other way round: ${other}` : words;
}
