// A station at work: one press finishes, undo takes back, everything else is beside it.

import { t } from '../record/language.js';
import { hotScene, stationView } from '../record/steps.js';
import { Board, stepOf } from './board.js';
import { besidePanel, earlierPanel, lightPanel, markPanel, passPanel, writePanel } from './choices.js';
import { afterPress } from './context.js';
import { hide, key, put, stamp } from './dom.js';
import { badge } from './drawing.js';
import { hotScreen } from './hot.js';
import { deadTime, onPress } from './keys.js';
import { nthFor, readingPanels } from './reading.js';
import { happenedAgo } from './when.js';

const UNDO_MS = 12000, MINUTES = [1, 2, 5];

export function stationScreen(ctx, batch, station) {
  const sheet = ctx.sheet(batch);
  if (!sheet.stations.some(({ id }) => id === station)) { ctx.go(`/b/${batch}`); return { root: document.createElement('div'), batch, where: () => '' }; }
  const { phone } = ctx.shelf;
  // Told afterwards: the listeners show this very screen. The shop hears it at once, to miss the phone here.
  if (phone.station !== station || phone.batch !== batch) queueMicrotask(() => { ctx.shelf.setPhone({ station, batch }); afterPress(() => ctx.exchange.nudge()); });
  return new Station(ctx, sheet, station).screen();
}

class Station {
  constructor(ctx, sheet, station) {
    Object.assign(this, { ctx, sheet, batch: sheet.batch, station, alive: deadTime(), hot: null, shown: null, undo: null, reading: null });
    Object.assign(this, stamp('station'));
    this.name = sheet.stations.find(({ id }) => id === station).name;
    this.board = new Board(ctx, sheet, station, this.at, (who) => this.looked(who));
    this.at.plate.append(badge(sheet.boil));
    onPress(this.at.finish, () => this.finish());
    this.at.beside.addEventListener('click', () => besidePanel(ctx, this.batch, station, stepOf(sheet, this.now)));
    this.stamps();
    // With the first frame nothing else may be on its way.
    requestAnimationFrame(() => setTimeout(() => import('./mediakeys.js').then(({ mediaKeys }) => mediaKeys(this), () => {})));
    this.at.keys.append(
      key(t`Write`, () => this.write()), this.off = key(t`Went off`, () => markPanel(ctx, this.batch, station, this.board.log && (() => this.turn()))),
      key(t`Pass`, () => passPanel(ctx, this.batch, station, this.now)), this.ended = key(t`Done`, () => this.endCount()),
    );
    this.mediaRooms();
  }

  /** Camera and microphone have their rooms from the first, so that no key moves under a finger when they come. On the
   * narrowest phones four keys stand in a row: the camera takes the place of one of the minutes. */
  mediaRooms() {
    const { keys, stamps } = this.at, narrow = matchMedia('(max-width: 360px)');
    this.camera = key('', () => this.photo(), 'media');
    this.microphone = key('', () => this.speak(), 'media');
    const stand = () => (narrow.matches ? stamps.append(this.camera) : this.microphone.before(this.camera));
    keys.append(this.microphone);
    narrow.addEventListener('change', stand);
    stand();
  }

  /** Undo, or look back; and the finishing presses for what happened some minutes ago. */
  stamps() {
    this.back = key(t`Look back`, () => (this.undoable() ? this.takeBack() : this.ctx.go(`/b/${this.batch}/back`)), 'back-key');
    const earlier = key('…', () => this.now && earlierPanel((minutes) => this.finish(minutes)));
    earlier.setAttribute('aria-label', t`Done longer ago`);
    this.at.stamps.append(this.back, ...MINUTES.map((minutes) => key(t`${minutes} min ago`, () => this.finish(minutes), minutes === MINUTES.at(-1) ? 'rare' : '')), earlier);
  }

  screen() {
    const { root, batch } = this;
    return {
      root, batch, up: `/b/${batch}`, where: () => this.name, update: () => this.update(), finish: () => this.finish(), counting: () => this.counting,
      focus: () => this.at.board.focus({ preventScroll: true }), leave: () => this.leave(),
    };
  }

  leave() {
    this.reading?.close();
    this.board.watch.disconnect();
    document.body.classList.remove('is-hot', 'at-blade');
  }

  update() {
    const state = this.ctx.state(this.batch);
    this.scene(state);
    const mine = state.countdowns.filter(({ station }) => !station || station === this.station), now = this.ctx.shelf.now();
    this.running = mine[0] ?? null;
    this.board.clock(mine.find(({ deadline }) => deadline > now));
    this.backKey();
    this.board.tick(state);
    const { side } = this.ctx.shelf.record;
    if (state === this.shown && side === this.side) return;
    Object.assign(this, { shown: state, side });
    const view = stationView(this.sheet, state, this.station);
    this.now = view.now;
    this.board.paint(state, view);
    this.paint(state);
  }

  paint(state) {
    const { at } = this, step = this.now ? stepOf(this.sheet, this.now) : null;
    for (const part of [at.finish, at.stamps]) hide(part, !step);
    this.root.classList.toggle('at-rest', !step);
    document.body.classList.toggle('at-blade', step?.heading === 'cut');
    put(at.finishWord, step?.tally ? '+1' : t`Done`);
    // Where things are counted there is no room for the microphone, and it is under 'Write'.
    hide(this.ended, !step?.tally);
    hide(this.microphone, Boolean(step?.tally));
    const open = state.off.filter(({ mended }) => !mended).length;
    put(this.off, open ? t`Went off ${open}` : t`Went off`);
  }

  /** From 140 °C to poured the kettle's phone shows one thing and takes no touch but 'Poured' and 'Burn'. */
  scene(state) {
    const ends = this.station === 'kettle' ? hotScene(this.sheet, state) : null;
    if (ends && !this.hot) {
      this.reading?.close();
      document.querySelector('.panel')?.dispatchEvent(new Event('close'));
      this.hot = hotScreen(this.ctx, this.sheet, state, ends, (minutes) => this.poured(ends, minutes));
      this.root.append(this.hot.root);
    }
    if (!ends && this.hot) { this.hot.root.remove(); this.hot = null; }
    document.body.classList.toggle('is-hot', Boolean(ends));
  }

  poured(step, minutes) {
    if (!this.alive()) return;
    this.stepDone(step, undefined, minutes);
  }

  /** One press: the tally's plus one, or this step done. Painted before anything is awaited. */
  finish(minutes = 0) {
    if (!this.now || this.hot || !this.alive()) return;
    this.reading?.close();
    const step = stepOf(this.sheet, this.now), open = step.moment === 'lit' ? this.stopOpen() : [];
    if (step.tally) this.count(step, minutes);
    else if (step.together && !this.ctx.state(this.batch).hazards) this.ctx.go(`/b/${this.batch}/cautions`);
    else if (open.length) lightPanel(this.ctx, this.sheet, open, (ago) => this.done(ago));
    else this.done(minutes);
  }

  stopOpen() {
    const { steps, dropped } = this.ctx.state(this.batch);
    return this.sheet.stop_items.filter((id) => steps[id]?.state !== 'done' && !dropped.includes(id));
  }

  /** A second person's yes: the step is theirs, pressed here. */
  looked(who) {
    if (this.now && this.alive()) this.done(0, who);
  }

  /** The log turned end for end: from now on the other end of every rod reads. */
  turn() {
    const after = this.ctx.state(this.batch).turns.at(-1)?.refs[0];
    this.wrote(t`turn`, this.ctx.write({ batch: this.batch, kind: 'log_turned', station: this.station, body: after ? { after } : {} }));
  }

  done(minutes, who) {
    const [step, nth] = this.now.split('#');
    if (this.running) this.ctx.write({ batch: this.batch, kind: 'countdown_stopped', station: this.station, body: { id: this.running.id } });
    this.stepDone(step, nth && Number(nth), minutes, who);
  }

  stepDone(step, nth, minutes, who) {
    this.board.lots?.say(step);
    const { call, record } = this.sheet.steps[step], { countdown } = this.ctx.shelf.sheet(this.batch).steps[step], before = this.ctx.state(this.batch).steps[nth ? `${step}#${nth}` : step];
    const body = before?.state === 'reopened' ? { after: before.ref } : {};
    this.wrote(call, this.ctx.write({ batch: this.batch, kind: 'step_done', station: this.station, step, nth, body, ...(who && { for: who }), ...happenedAgo(minutes) }), step, nth);
    if (countdown) this.startCountdown(countdown, minutes);
    if (record.length) this.ask(record, step, nth);
  }

  /** The most frequent press: the number is one more at once, what rests on it is reckoned when the disk has answered. */
  count(step, minutes) {
    const { batch, station } = this, { tallies } = this.ctx.state(batch);
    this.board.large((tallies[step.tally] ?? 0) + 1, step);
    this.counting = true;
    this.wrote('+1', this.ctx.write({ batch, kind: 'tally_counted', station, body: { what: step.tally, add: 1 }, ...happenedAgo(minutes) }));
    this.counting = false;
  }

  wrote(what, event, step, nth) {
    this.undo = { ref: `${event.device}:${event.seq}`, what, since: performance.now(), step, nth };
    this.backKey();
  }

  /** A counted step ends by its own key; the finish zone counts. */
  endCount() {
    if (this.now && this.alive()) this.done(0);
  }

  startCountdown({ id, label, minutes }, ago) {
    const deadline = Math.round(Date.now() + (minutes - ago) * 60000);
    this.ctx.write({ batch: this.batch, kind: 'countdown_started', station: this.station, body: { id, label, deadline } });
  }

  /** With one key the frame needs its time to get there. */
  undoable() { return Boolean(this.undo) && performance.now() - this.undo.since < UNDO_MS * (1 + (this.ctx.shelf.record.scan ?? 0)); }

  backKey() {
    const live = this.undoable();
    put(this.back, live ? t`Undo ${this.undo.what}` : t`Look back`);
    this.back.classList.toggle('undo', live);
  }

  /** Undo at once: a step is reopened, anything else struck through; both stay in the record. */
  takeBack() {
    const { ref, step, nth } = this.undo;
    this.reading?.close();
    if (step) this.ctx.write({ batch: this.batch, kind: 'step_undone', station: this.station, step, nth, body: { target: ref } });
    else this.ctx.write({ batch: this.batch, kind: 'struck', station: this.station, body: { target: ref, reason: 'taken back' } });
    this.undo = null;
    this.backKey();
  }

  /** The readings of a step: asked for beside the work, owed if put off. */
  ask(whats, step, nth, undo = () => this.takeBack()) {
    this.reading = readingPanels(this.ctx, { batch: this.batch, whats, station: this.station, step, nth, undo, done: () => { this.reading = null; } });
  }

  /** Writing down without finishing: the step's own readings, else any of this station. */
  write() {
    const step = this.now ? stepOf(this.sheet, this.now) : null;
    const ask = (what) => this.ask([what], this.now?.split('#')[0], nthFor(this.sheet, this.ctx.state(this.batch), this.station, what), null);
    if (step?.record.length === 1 && !step.tally) { ask(step.record[0]); return; }
    writePanel(this.ctx, { batch: this.batch, station: this.station, now: step, ask, lots: this.board.lots });
  }
}
