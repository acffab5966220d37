// The fold: (sheet, events) → state; shop/record/fold.py does exactly the same.
// The shape of the state is in docs/contracts.md, section 4.

import { life, lots, tallies, whereabouts, words } from './aspects.js';
import { checkedFigures, deviations } from './deviations.js';
import { evaluate } from './graph.js';
import { Live } from './live.js';
import { inOrder } from './order.js';
import { hands, twoTook } from './people.js';
import { dropped, foldSteps, moments, owed, reopenedUnseen } from './progress.js';
import { turned } from './turns.js';
import { foldValues, latest, twoCorrections } from './values.js';

export { history } from './live.js';

const same = (one, other) => one.every((part, i) => part === other[i]);

/** A fold that goes on as its batch grows: a part of the state is made again only where what it read has changed. */
export class Folding {
  constructor(sheet) { Object.assign(this, { sheet, live: null, seen: 0, figures: null, checked: null, parts: new Map() }); }

  /** The state after these events; those of the call before stand first among them. */
  state(events) {
    const fresh = events.slice(this.seen);
    this.seen = events.length;
    if (!this.live?.grow(fresh)) this.live = new Live(this.sheet, inOrder(events));
    return this.whole(this.sheet, this.live);
  }

  /** What `make` gives from other parts and from the events it asks `live` for. */
  part(make, ...from) {
    const known = this.parts.get(make), { live } = this;
    if (known && same(known.from, from) && [...known.reads].every(([kind, events]) => live.list(kind) === events)) return known.made;
    const reads = live.reads = new Map(), made = make(this.sheet, live, ...from);
    live.reads = new Map();
    this.parts.set(make, { from, reads, made });
    return made;
  }

  whole(sheet, live) {
    const steps = this.part(foldSteps), values = this.part(foldValues), gone = this.part(dropped);
    const inputs = { moments: this.part(moments, steps), latest: this.part(latest, values), tallies: this.part(tallies) };
    const figures = this.figures = evaluate(sheet.graph, inputs, this.figures);
    this.checked = checkedFigures(sheet, figures, this.checked);
    return {
      ...life(sheet, live), ...inputs, figures, steps, values, dropped: gone,
      owed: this.part(owed, steps, values),
      off: this.part(deviations, steps, values, this.checked),
      conflicts: [...this.part(reopenedUnseen), ...this.part(twoCorrections), ...this.part(twoTook)],
      ...this.part(hands), ...this.part(turned), ...this.part(words), ...this.part(lots), ...this.part(whereabouts),
      unread: [...live.unread], unfiled: [...live.unfiled],
    };
  }
}

/** The state of a batch after these events, in whatever order and number they come. */
export const fold = (sheet, events) => new Folding(sheet).state(events);
