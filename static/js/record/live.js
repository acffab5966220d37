// Which events count: read, filed and not struck through.

import { misfit } from './check.js';
import { bodyFits, isUnread } from './kinds.js';
import { at, compareEvents, gather, inOrder, refOf } from './order.js';

/** Ref of each entry struck through → ref of its strike; a later strike may be struck. */
function struckRefs(events) {
  const where = new Map(events.map((e) => [refOf(e), e]));
  const struck = new Map();
  for (const strike of events.filter((e) => e.kind === 'struck').reverse()) {
    const { target } = strike.body;
    if (struck.has(refOf(strike)) || !where.has(target)) continue;
    if (compareEvents(where.get(target), strike) < 0) struck.set(target, refOf(strike));
  }
  return struck;
}

const NONE = [];

/** The events that count, by kind; and those that do not, with why. */
export class Live {
  constructor(sheet, ordered) {
    Object.assign(this, { sheet, unread: [], unfiled: [], last: ordered.at(-1), reads: new Map() });
    const filed = ordered.filter((e) => this.files(e)), struck = struckRefs(filed);
    this.events = filed.filter((e) => !struck.has(refOf(e)));
    this.byKind = gather(this.events, (e) => e.kind);
  }

  files(event) {
    if (isUnread(event)) { this.unread.push(refOf(event)); return false; }
    const reason = misfit(this.sheet, event);
    if (reason) this.unfiled.push({ ref: refOf(event), reason });
    return !reason;
  }

  /** Takes up events that stand behind all others and strike nothing; `false`: begin anew. */
  grow(events) {
    const fresh = inOrder(events);
    if (fresh.some(({ kind }) => kind === 'struck') || (fresh.length && this.last && compareEvents(fresh[0], this.last) <= 0)) return false;
    this.last = fresh.at(-1) ?? this.last;
    for (const event of fresh.filter((e) => this.files(e))) {
      this.events.push(event);
      // A new list, by which those who read the old one see the change.
      this.byKind.set(event.kind, [...this.list(event.kind), event]);
    }
    return true;
  }

  /** The live events of a kind; noted in `reads`. */
  list(kind) {
    const events = this.byKind.get(kind) ?? NONE;
    this.reads.set(kind, events);
    return events;
  }

  /** The live events of these kinds, in order. */
  of(...kinds) {
    return kinds.length === 1 ? this.list(kinds[0]) : kinds.flatMap((kind) => this.list(kind)).sort(compareEvents);
  }
}

/** Every entry in order, with the ref of what struck or replaced it ('' = nothing). */
export function history(events) {
  const ordered = inOrder(events);
  const sound = ordered.filter((e) => !isUnread(e) && bodyFits(e.kind, e.body));
  const struck = struckRefs(sound);
  const standing = sound.filter((e) => !struck.has(refOf(e)));
  const undone = new Map(standing.filter((e) => e.kind === 'step_undone').map((e) => [e.body.target, refOf(e)]));
  const instead = new Map(standing.filter((e) => e.body.instead_of).map((e) => [e.body.instead_of, refOf(e)]));
  return ordered.map((event) => {
    const ref = refOf(event);
    return { ref, kind: event.kind, at: at(event), struck_by: struck.get(ref) ?? undone.get(ref) ?? '', replaced_by: instead.get(ref) ?? '', event };
  });
}
