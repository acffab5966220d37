// What a screen knows: the shelf, the boil in hand, and its state, folded once per change.

import { fold } from '../record/fold.js';

/** Sending can wait for the frame that shows the press. */
const afterPaint = (work) => requestAnimationFrame(() => setTimeout(work, 120));

export class Context {
  constructor(shelf, exchange) {
    Object.assign(this, { shelf, exchange, kept: new Map() });
  }

  /** The state of a boil; folded again only when its events changed. */
  state(batch) {
    const events = this.shelf.events(batch), known = this.kept.get(batch);
    if (known?.count === events.length) return known.state;
    const state = fold(this.shelf.sheet(batch), events);
    this.kept.set(batch, { count: events.length, state });
    return state;
  }

  /** `Maren`, or the id where the sheet has no such person. */
  name(sheet, id) {
    return sheet.people.find((person) => person.id === id)?.name ?? (id || 'not signed in');
  }

  write(draft) {
    const written = this.shelf.write(draft);
    written.kept.catch(() => {});
    afterPaint(() => this.exchange.nudge());
    return written.event;
  }
}
