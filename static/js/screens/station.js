// A station: now, next, who waits for you. One press finishes; everything else is beside it.

import { hotScene, stationView } from '../record/steps.js';
import { say, sayRange } from '../record/words.js';
import { clock, key, put, putLines, squeeze, stamp } from './dom.js';
import { hotScreen } from './hot.js';
import { deadTime, onPress } from './keys.js';
import { countPanel, lightPanel, markPanel, passPanel } from './choices.js';
import { readingPanels } from './reading.js';
import { happenedAgo, when } from './when.js';

const UNDO_MS = 12000;

const quantities = new WeakMap();

/** `{figure, unit, spread, says}` of a figure, for showing. */
export function figureOf(sheet, state, name) {
  if (!quantities.has(sheet)) quantities.set(sheet, new Map(sheet.graph.map((q) => [q.name, q])));
  const quantity = quantities.get(sheet).get(name);
  return { value: state.figures[name], unit: quantity.unit, spread: quantity.spread, says: quantity.says };
}

function figureWords(sheet, state, name) {
  const { value, unit, spread } = figureOf(sheet, state, name);
  if (unit === 'time') return value === null ? '–' : clock(value);
  return sayRange(value, spread, unit);
}

export function stationScreen(ctx, batch, station) {
  const sheet = ctx.shelf.sheet(batch);
  if (!sheet.stations.some(({ id }) => id === station)) { ctx.go(`/b/${batch}`); return { root: document.createElement('div'), batch }; }
  const { phone } = ctx.shelf;
  if (phone.station !== station || phone.batch !== batch) ctx.shelf.setPhone({ station, batch });
  return new Station(ctx, sheet, station).screen();
}

class Station {
  constructor(ctx, sheet, station) {
    Object.assign(this, { ctx, sheet, batch: sheet.batch, station, alive: deadTime(), open: null, hot: null, shown: null, undo: null });
    Object.assign(this, stamp('station'));
    this.agoKey = key('now', () => { this.at.ago.hidden = !this.at.ago.hidden; });
    this.name = sheet.stations.find(({ id }) => id === station).name;
    this.ago = when(this.at.ago, sheet.wait_choices_min, (minutes) => this.showAgo(minutes));
    this.at.ago.hidden = true;
    onPress(this.at.finish, () => this.finish());
    this.at.undoPress.addEventListener('click', () => this.takeBack());
    this.at.keys.append(
      this.agoKey, key('Write', () => this.write()), key('Mark', () => markPanel(ctx, this.batch, station)),
      key('Pass', () => passPanel(ctx, this.batch, station, this.now)),
      this.ended = key('Done', () => this.endCount()), this.burn = key('Burn', () => ctx.go(`/b/${this.batch}/burn`), 'burn-key'),
    );
  }

  screen() {
    const { root, batch } = this;
    return {
      root, batch, where: () => this.name, update: () => this.update(), finish: () => this.finish(),
      focus: () => this.at.board.focus({ preventScroll: true }), leave: () => this.leave(),
    };
  }

  leave() {
    this.open?.close?.();
    this.hot?.root.remove();
  }

  update() {
    const state = this.ctx.state(this.batch);
    this.scene(state);
    this.clocks(state);
    this.undoBar();
    if (state === this.shown) return;
    this.shown = state;
    this.view = stationView(this.sheet, state, this.station);
    this.now = this.view.now;
    this.paint(state);
  }

  /** The key says when the next press is said to have happened; the row of choices closes again. */
  showAgo(minutes) {
    this.agoKey.textContent = minutes ? `${minutes} min ago` : 'now';
    this.agoKey.setAttribute('aria-pressed', String(minutes > 0));
    this.at.ago.hidden = true;
  }

  /** From 140 °C to poured the kettle's phone shows one thing and takes no touch but 'Poured'. */
  scene(state) {
    const ends = this.station === 'kettle' ? hotScene(this.sheet, state) : null;
    if (ends && !this.hot) {
      this.hot = hotScreen(this.ctx, this.sheet, state, (minutes) => this.poured(ends, minutes));
      this.root.append(this.hot.root);
      this.hot.fit();
    }
    if (!ends && this.hot) { this.hot.root.remove(); this.hot.stop(); this.hot = null; }
  }

  poured(step, minutes) {
    const event = this.ctx.write({ batch: this.batch, kind: 'step_done', station: this.station, step, body: {}, ...happenedAgo(minutes) });
    this.undo = { ref: `${event.device}:${event.seq}`, what: this.sheet.steps[step].call, since: performance.now(), step };
    this.ask(step);
  }

  paint(state) {
    const { at, sheet } = this, step = sheet.steps[this.now.split('#')[0]];
    this.root.classList.toggle('at-rest', !step);
    at.finish.hidden = !step;
    if (!step) { this.paintRest(); return; }
    const nth = this.now.split('#')[1];
    put(at.strip, step.portion || step.block ? nameOf(sheet, step) : step.heading.replaceAll('-', ' '));
    put(at.call, step.call);
    this.paintNumber(state, step);
    put(at.say, nth ? `${step.say} (${nth})` : step.say);
    put(at.band, step.band);
    put(at.caution, step.caution);
    put(at.cue, step.cue);
    putLines(at.lines, lineWords(sheet, state, step));
    put(at.finishWord, this.finishWord(step));
    this.burn.hidden = !step.band;
    this.ended.hidden = !step.tally;
    this.paintNeighbours();
    squeeze(at.call);
    squeeze(at.number);
  }

  paintRest() {
    const { at } = this;
    for (const name of ['strip', 'number', 'numberIs', 'band', 'caution', 'cue', 'next']) put(at[name], '');
    put(at.call, 'All done');
    put(at.say, 'Nothing is left at this station.');
    putLines(at.lines, []);
    this.paintNeighbours();
  }

  paintNumber(state, step) {
    const { at, sheet } = this;
    const counted = step.tally ? state.tallies[step.tally] ?? 0 : null;
    const name = step.number;
    const wanted = name ? figureWords(sheet, state, name) : '';
    put(at.number, counted === null ? (name ? shortNumber(sheet, state, name) : '') : String(counted));
    const says = name ? figureOf(sheet, state, name).says : '';
    put(at.numberIs, counted === null ? (name ? numberIs(says, wanted) : '') : `${step.tally}, of about ${wanted || '–'}`);
    this.counting = counted === null ? '' : step.tally;
  }

  finishWord(step) {
    return step.tally ? '+1' : 'Done';
  }

  paintNeighbours() {
    const { at, sheet, view } = this;
    const call = (wait) => `${stationName(sheet, wait.station)}: ${sheet.steps[wait.step].call}`;
    put(at.next, view.next ? `Next: ${sheet.steps[view.next.split('#')[0]].call}` : '');
    const waits = view.waits_for.length ? `Wait for ${view.waits_for.map(call).join(', ')}` : '';
    const waiting = view.waiting.map((wait) => `${stationName(sheet, wait.station)} waits for ${sheet.steps[wait.step].call}`).join(' · ');
    put(at.waits, waits || waiting);
    at.waits.classList.toggle('alarm', Boolean(waits));
  }

  /** The first countdown of this station, ever as min:s to an absolute deadline. */
  clocks(state) {
    const now = this.ctx.shelf.now();
    const [first] = state.countdowns.filter(({ station }) => !station || station === this.station);
    this.running = first ?? null;
    this.at.clock.hidden = !first;
    if (!first) return;
    const left = first.deadline - now, size = Math.abs(Math.round(left / 1000));
    const words = `${first.label} ${left < 0 ? 'over by ' : ''}${Math.floor(size / 60)}:${String(size % 60).padStart(2, '0')}`;
    put(this.at.clock, words);
    this.at.clock.classList.toggle('alarm', left < 0);
  }

  undoBar() {
    const live = this.undo && performance.now() - this.undo.since < UNDO_MS;
    this.at.undo.hidden = !live;
    if (live) put(this.at.undoWhat, `${this.undo.what} · ${this.ctx.shelf.stageOf(this.undo.ref)}`);
  }

  /** One press: the tally's plus one, or this step done. Painted before anything is awaited. */
  finish() {
    if (!this.now || this.hot || this.open || !this.alive()) return;
    const step = this.sheet.steps[this.now.split('#')[0]];
    if (step.tally) { this.count(step); return; }
    if (step.moment === 'lit' && this.stopOpen().length) { lightPanel(this.ctx, this.sheet, this.stopOpen(), (minutes) => this.done(step, minutes)); return; }
    if (step.together) { this.ctx.go(`/b/${this.batch}/cautions`); }
    this.done(step, this.ago.minutes());
  }

  stopOpen() {
    const { steps } = this.ctx.state(this.batch);
    return this.sheet.stop_items.filter((id) => steps[id]?.state !== 'done');
  }

  done(step, minutes) {
    const [name, nth] = this.now.split('#');
    const reopened = this.reopened(this.now);
    if (this.running) this.answer();
    const event = this.ctx.write({
      batch: this.batch, kind: 'step_done', station: this.station, step: name, nth: nth && Number(nth),
      body: reopened ? { after: reopened } : {}, ...happenedAgo(minutes),
    });
    this.undo = { ref: `${event.device}:${event.seq}`, what: step.call, since: performance.now(), step: name, nth: event.nth };
    if (step.countdown) this.startCountdown(step.countdown);
    this.ago.reset();
    this.undoBar();
    this.ask(name, event.nth);
  }

  reopened(key) {
    const step = this.ctx.state(this.batch).steps[key];
    return step?.state === 'reopened' ? step.ref : '';
  }

  count(step) {
    const event = this.ctx.write({ batch: this.batch, kind: 'tally_counted', station: this.station, body: { what: step.tally, add: 1 }, ...happenedAgo(this.ago.minutes()) });
    this.undo = { ref: `${event.device}:${event.seq}`, what: `${step.tally} +1`, since: performance.now() };
    this.ago.reset();
    this.undoBar();
  }

  /** A counted step ends by its own key; the finish zone counts. */
  endCount() {
    if (this.now && this.alive()) this.done(this.sheet.steps[this.now.split('#')[0]], this.ago.minutes());
  }

  startCountdown({ id, label, minutes }) {
    this.ctx.write({ batch: this.batch, kind: 'countdown_started', station: this.station, body: { id, label, deadline: Date.now() + minutes * 60000 } });
  }

  answer() {
    this.ctx.write({ batch: this.batch, kind: 'countdown_stopped', station: this.station, body: { id: this.running.id } });
  }

  /** Undo at once: a step is reopened, anything else struck through; both stay in the record. */
  takeBack() {
    const { ref, step, nth } = this.undo;
    this.open?.close();
    if (step) this.ctx.write({ batch: this.batch, kind: 'step_undone', station: this.station, step, nth, body: { target: ref } });
    else this.ctx.write({ batch: this.batch, kind: 'struck', station: this.station, body: { target: ref, reason: 'taken back' } });
    this.undo = null;
    this.undoBar();
  }

  /** The readings of a step that was just done; 'Later' leaves them owed. */
  ask(step, nth) {
    const records = this.sheet.steps[step].record;
    if (!records.length) return;
    this.open = readingPanels(this.ctx, { batch: this.batch, whats: records, station: this.station, step, nth, done: () => { this.open = null; this.at.board.focus({ preventScroll: true }); } });
  }

  /** Writing down without finishing: the step's own readings, as often as wanted. */
  write() {
    const step = this.now ? this.sheet.steps[this.now.split('#')[0]] : null;
    if (step?.tally) { countPanel(this.ctx, this.batch, this.station, step.tally); return; }
    if (step?.record.length) { this.askAgain(step.record); return; }
    this.ctx.go(`/b/${this.batch}/owed`);
  }

  askAgain(records) {
    const nth = records.includes('gauge') ? this.ctx.state(this.batch).tallies.rods ?? undefined : undefined;
    this.open = readingPanels(this.ctx, { batch: this.batch, whats: records, station: this.station, step: this.now.split('#')[0], nth, done: () => { this.open = null; } });
  }
}

const stationName = (sheet, id) => sheet.stations.find((s) => s.id === id)?.name ?? id;

function nameOf(sheet, { portion, block }) {
  const found = portion ? sheet.portions.find(({ id }) => id === portion) : sheet.blocks.find(({ id }) => id === block);
  return found?.name ?? '';
}

/** The one big number: whole degrees for temperatures, no range. */
function shortNumber(sheet, state, name) {
  const { value, unit } = figureOf(sheet, state, name);
  if (unit === 'time') return value === null ? '' : clock(value);
  return value === null ? '–' : say(value, unit, '', 0).replace('\u202f', ' ');
}

const numberIs = (says, wanted) => (wanted.includes('–') ? `${says}, predicted ${wanted}` : says);

const lineWords = (sheet, state, step) => step.lines.map(({ figure, label }) => `${label}: ${figureWords(sheet, state, figure)}`);
