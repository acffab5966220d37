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

/** The events that count, by kind; and those that do not, with why. */
export class Live {
  constructor(sheet, ordered) {
    this.unread = ordered.filter(isUnread).map(refOf);
    this.unfiled = [];
    const filed = ordered.filter((e) => !isUnread(e)).filter((e) => {
      const reason = misfit(sheet, e);
      if (reason) this.unfiled.push({ ref: refOf(e), reason });
      return !reason;
    });
    const struck = struckRefs(filed);
    this.events = filed.filter((e) => !struck.has(refOf(e)));
    this.byKind = gather(this.events, (e) => e.kind);
  }

  /** The live events of these kinds, in order. */
  of(...kinds) {
    if (kinds.length === 1) return this.byKind.get(kinds[0]) ?? [];
    return kinds.flatMap((kind) => this.byKind.get(kind) ?? []).sort(compareEvents);
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
