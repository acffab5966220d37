// The board of a station: now, next, who waits for you. Existing nodes are changed, never rebuilt.

import { t, within } from '../record/language.js';
import { attr, hide, put, putLines } from './dom.js';
import { rod, swatch } from './drawing.js';
import { bigFigure, figureWords, restsOn } from './figures.js';
import { fit } from './fit.js';
import { minutesSeconds, secondsLeft } from './times.js';

const CALL = 82, NUMBER = 104, SIDE = 116, QUEUE = 6, SWATCH = 0.22, WIDE = 640, LARGER = 1.4;

const plain = (text) => text.replaceAll('-', ' ');
export const stepOf = (sheet, key) => sheet.steps[key.split('#')[0]];
const stationName = (sheet, id) => sheet.stations.find((s) => s.id === id)?.name ?? id;

function headingOf(sheet, step) {
  const { name = '' } = sheet.portions.find(({ id }) => id === step.portion) ?? sheet.blocks.find(({ id }) => id === step.block) ?? {};
  return [t(plain(step.heading)), name, step.second_person ? t`two people` : ''].filter(Boolean).join(', ');
}

/** The oldest that waits: this station for another, or another for this one. */
function waitWords(sheet, { waits_for: own, waiting }) {
  if (own.length) return t`Wait for ${stationName(sheet, own[0].station)}: ${sheet.steps[own[0].step].call}`;
  if (waiting.length) return t`${stationName(sheet, waiting[0].station)} waits for you: ${sheet.steps[waiting[0].step].call}`;
  return '';
}

/** Asked of somebody who has not done this alone yet, until it is answered; it holds nothing up. */
function besideWords(ctx, sheet, { beside }, { skill }) {
  const { people, skills = [] } = sheet, who = ctx.shelf.record.for || ctx.shelf.record.by, ladder = people.some(({ solo }) => solo);
  // Whoever came after the sheet was frozen has done nothing alone, as far as it knows.
  if (!skill || !who || !ladder || people.find(({ id }) => id === who)?.solo?.includes(skill) || beside.some((entry) => entry.by === who && entry.skill === skill)) return '';
  return t`${ctx.name(sheet, who)}, ${within(skills.find(({ id }) => id === skill)?.name ?? skill)}: who stands beside?`;
}

/** Where the log is built and drawn. */
const hasLog = ({ heading }) => ['assemble', 'size', 'cut'].includes(heading);

export class Board {
  /** `looked(person)`: somebody else has looked and says yes. */
  constructor(ctx, sheet, station, at, looked) {
    Object.assign(this, { ctx, sheet, station, at, room: 0, last: null, drawn: '', layUp: null, lots: null });
    this.steps = sheet.stations.find(({ id }) => id === station).steps;
    const steps = this.steps.map((id) => sheet.steps[id]);
    this.log = steps.some(hasLog);
    if (this.log || steps.some((step) => step.second_person)) this.bring(import('./layup.js'), ({ LayUp }) => { this.layUp = new LayUp(ctx, sheet, at, looked); });
    if (steps.some(({ portion }) => portion)) this.bring(import('./pieces.js'), ({ Tray }) => { this.tray = new Tray(ctx, sheet, at); });
    if (sheet.materials?.some(({ step }) => this.steps.includes(step))) this.bring(import('./lots.js'), ({ Lots }) => { this.lots = new Lots(ctx, sheet, station, at); });
    this.watch = new ResizeObserver(([{ contentRect }]) => this.resize(contentRect.width));
    this.watch.observe(at.board);
  }

  /** What only some stations need: brought when one of them first stands. */
  bring(module, made) {
    module.then((found) => { made(found); if (this.last) this.paint(...this.last); }, () => {});
  }

  /** Where a tablet gives the room, what is read from afar is larger. */
  get far() { return this.room > WIDE ? LARGER : 1; }

  resize(wide) {
    if (Math.round(wide) === this.room) return;
    this.room = Math.round(wide);
    if (this.last) this.paint(...this.last);
  }

  paint(state, view) {
    this.last = [state, view];
    this.rod(view);
    const { at, sheet } = this;
    if (!view.now) { this.rest(); return; }
    const step = stepOf(sheet, view.now), nth = view.now.split('#')[1];
    put(at.heading, headingOf(sheet, step));
    put(at.band, step.band);
    this.call(step.call);
    this.number(state, step);
    put(at.say, nth ? `${step.say} (${nth})` : step.say);
    put(at.caution, this.caution(step));
    put(at.cue, step.cue);
    this.look(step.look);
    this.lines(state, step);
    this.lots?.paint(state, step.id);
    this.tray?.paint(state, step);
    put(at.beside, besideWords(this.ctx, sheet, state, step));
    put(at.waits, waitWords(sheet, view));
    at.waits.classList.toggle('own', view.waits_for.length > 0);
    this.layUp?.paint(state, step, this.room);
    this.queue(view);
  }

  /** Words of caution stand only where the hazard changes. */
  caution(step) {
    const before = this.sheet.steps[this.steps[this.steps.indexOf(step.id) - 1]];
    return before?.caution === step.caution ? '' : step.caution;
  }

  /** What is right, too early, too late, where the way has a picture of it. */
  look(name) {
    hide(this.at.look, !name);
    if (!name || name === this.cuePicture) return;
    this.cuePicture = name;
    attr(this.at.look, 'src', new URL(`../../cues/${name}.svg`, import.meta.url).href);
  }

  rest() {
    const { at } = this;
    for (const name of ['heading', 'band', 'caution', 'cue', 'beside', 'lots', 'sack', 'waits']) put(at[name], '');
    this.look('');
    this.call(t`All done`);
    hide(at.reckon);
    put(at.say, t`Nothing is left at this station.`);
    for (const list of [at.lines, at.queue]) putLines(list, []);
    at.drawing.replaceChildren();
    this.layUp?.rest();
    this.tray?.paint(this.last[0], null);
  }

  call(words) {
    if (this.room) fit(this.at.call, words, CALL * this.far, this.room); else put(this.at.call, words);
  }

  rod({ done, total }) {
    const drawn = `${done}/${total}`;
    if (this.drawn === drawn) return;
    this.drawn = drawn;
    this.at.rod.replaceChildren(rod(this.sheet.boil, done, total));
  }

  /** A count, or the figure the step is about; beside it its unit, what it is, and how sure. */
  number(state, step) {
    const { at, sheet, ctx } = this;
    const figure = step.number ? bigFigure(sheet, state, step.number, ctx.wanted) : null;
    hide(at.reckon, !figure && !step.tally);
    if (at.reckon.hidden) return;
    const counted = step.tally ? String(state.tallies[step.tally] ?? 0) : '';
    const expected = figure && (figure.predicted || `${figure.number} ${figure.unit}`.trim());
    this.large(counted || figure.number, step);
    put(at.unit, counted ? t(step.tally) : figure.unit);
    if (counted) put(at.says, expected ? t`of about ${expected}, ${restsOn(state)}` : '');
    else put(at.says, figure.predicted ? t`about: ${figure.says}` : figure.says);
  }

  /** The number in the room that the step's swatch leaves it. */
  large(number, step) {
    const room = this.room - SIDE - (this.swatch(step) ? this.room * SWATCH : 0);
    if (this.room) fit(this.at.number, String(number), NUMBER * this.far, room); else put(this.at.number, String(number));
  }

  /** The portion in hand; at the hook that is the white. */
  swatch({ portion, heading }) {
    const found = this.sheet.portions.find(({ id, treatment }) => (portion ? id === portion : heading === 'aerate' && treatment === 'white'));
    if (this.portion !== found) this.at.swatch.replaceChildren(...(found ? [swatch(found)] : []));
    this.portion = found;
    return found;
  }

  lines(state, step) {
    const { at, sheet, ctx } = this;
    const { predicted = '' } = step.number ? bigFigure(sheet, state, step.number, ctx.wanted) : {};
    // What comes to nothing is not said: no warming, no spare.
    const texts = step.lines.filter(({ figure }) => state.figures[figure] !== 0).map(({ figure, label }) => `${label} ${figureWords(sheet, state, figure, ctx.wanted)}`);
    if (predicted && !step.tally) texts.unshift(t`Predicted ${predicted}, ${restsOn(state)}`);
    putLines(at.lines, texts);
  }

  /** What comes next stands in the finish zone; what comes after that, as far as there is room: lines that don't fit flow out of sight whole. */
  queue({ now, next }) {
    const { at, sheet, steps } = this;
    put(at.then, next && !stepOf(sheet, now).tally ? t`then ${stepOf(sheet, next).call}` : '');
    const coming = next ? steps.slice(steps.indexOf(next.split('#')[0]) + 1) : [];
    putLines(at.queue, coming.slice(0, QUEUE).map((id) => sheet.steps[id].call));
  }

  /** Every second: how long what waits still sticks. */
  tick(state) { this.layUp?.tick(state); }

  /** The first countdown of this station that still runs, ever as min:s to an absolute deadline. */
  clock(countdown) {
    const left = countdown ? secondsLeft(countdown.deadline, this.ctx.shelf.now()) : -1;
    const words = left > 0 ? `${t(countdown.label)} ${minutesSeconds(left)}` : '';
    if (this.room) fit(this.at.clock, words, CALL * this.far, this.room); else put(this.at.clock, words);
  }
}
