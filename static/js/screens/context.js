// What a screen knows: the shelf, the boil in hand, and its state, folded once per change.

import { t } from '../record/language.js';
import { Folding } from '../record/fold.js';
import { actor } from '../record/order.js';
import { isFinished } from '../record/steps.js';
import { APP } from '../sync/exchange.js';

export const PRESS_MS = 150;

/** What waits until a press is on the glass and on the disk: sending, and saying what changed. A frame of its
 * own would stand in the way of the press's frame. */
export const afterPress = (work) => setTimeout(work, PRESS_MS);

export class Context {
  constructor(shelf, exchange, updates) {
    Object.assign(this, { shelf, exchange, updates, kept: new Map() });
  }

  /** The state of a boil; folded again only when its events changed. */
  state(batch) {
    const book = this.shelf.book(batch), count = book.size, kept = this.kept.get(batch), known = kept?.book === book ? kept : null;
    if (known?.count === count) return known.state;
    const folding = known?.folding ?? new Folding(this.shelf.sheet(batch)), state = folding.state(this.shelf.events(batch));
    this.kept.set(batch, { book, count, folding, state });
    return state;
  }

  /** Whether the shop trusts this app with a boil that is not lit yet; so it does until it says otherwise. */
  get trusted() { return (this.shelf.record.minStart ?? APP) <= APP; }

  /** Whether this app may work on a boil: on one that is lit always. */
  mayStart(batch) { return this.trusted || this.state(batch).moments.lit !== undefined; }

  /** Open boils whose sheet is here. */
  boils() {
    return this.shelf.batches().filter(({ id, phase }) => phase === 'open' && this.shelf.sheet(id));
  }

  /** `Maren`, or the id where nobody knows such a person. */
  name(sheet, id) {
    return this.people(sheet).find((person) => person.id === id)?.name ?? sheet.people.find((person) => person.id === id)?.name ?? (id || 'nobody');
  }

  /** Who works here: those of the sheet who still do, then who came since it was frozen. Where the office has told nobody yet, the sheet's. */
  people(sheet) {
    const here = this.shelf.crew(), ofSheet = sheet?.people ?? [], known = new Set(ofSheet.map(({ id }) => id));
    if (!here.length) return ofSheet;
    return [...ofSheet.filter(({ id }) => here.some((person) => person.id === id)), ...here.filter(({ id }) => !known.has(id))];
  }

  /** Whose act an entry is, and who pressed where that was somebody else. */
  whose(sheet, event) {
    const who = this.name(sheet, actor(event));
    return actor(event) === event.by ? who : t`${who} (pressed by ${this.name(sheet, event.by)})`;
  }

  /** A boil's sheet in the words and degrees of whoever presses; the fold reads the shelf's own. */
  sheet(batch) {
    const sheet = this.shelf.sheet(batch);
    return sheet && this.reader ? this.reader(sheet) : sheet;
  }

  /** `units` or `language` of whoever presses; of the shop where they set none. */
  reads(what) {
    const { record } = this.shelf;
    return this.shelf.crew().find(({ id }) => id === record.by)?.[what] || record[what] || '';
  }

  /** The units this phone shows, by fixed unit: its own, else those of whoever presses. */
  get wanted() {
    const { degrees, masses } = this.shelf.record, us = this.reads('units') === 'us', warm = degrees || (us ? 'degF' : '');
    return { 'm°C': warm, mK: warm, mg: masses || (us ? 'lb' : ''), um: us ? 'in' : '' };
  }

  write(draft) {
    const written = this.shelf.write(draft);
    written.kept.catch(() => {});
    afterPress(() => this.exchange.nudge());
    return written.event;
  }

  /** A photo or a sound, and the entry that names it. */
  async keepFile(blob, draft) {
    const { kept } = await this.shelf.keepFile(blob, draft);
    kept.catch(() => {});
    afterPress(() => this.exchange.nudge());
  }

  /** A burn: written at once, the drill shown; a second press only shows it. */
  burn(batch) {
    if (!openBurn(this.state(batch))) this.write({ batch, kind: 'interrupted', body: { cause: 'burn' } });
    this.go(`/b/${batch}/burn`);
  }
}

/** The burn that is not over; undefined if none. */
export const openBurn = (state) => state.interrupted.findLast(({ cause, ended }) => cause === 'burn' && !ended);

const HOT_AT_MOST_MS = 4 * 3600000;

/** A locked-out phone shows nothing of the shop; only what is hot in its hands it does not leave. */
export const isShut = (ctx) => ctx.shelf.record.lockedOut
  && !ctx.boils().some(({ id }) => isHot(ctx.shelf.sheet(id), ctx.state(id)) && ctx.shelf.now() - ctx.state(id).moments.lit < HOT_AT_MOST_MS);

/** Whether something of a boil can be hot: from lit to the last cut. */
export const isHot = (sheet, state) => state.phase === 'open' && state.moments.lit !== undefined && !isFinished(state, sheet.zone.to);
