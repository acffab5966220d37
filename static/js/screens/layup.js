// Where the picture is built and first seen: this block big in its section, from the builder's own
// side; what waits and how long it sticks; which end reads; and who looked. Nodes are changed, never rebuilt.

import { t, within } from '../record/language.js';
import { partMasses } from '../record/blocks.js';
import { oldestWaiting } from '../record/sticking.js';
import { readingEnd } from '../record/turns.js';
import { say } from '../record/words.js';
import { attr, hide, key, put } from './dom.js';
import { shapesOf, svg } from './drawing.js';
import { fit, unfit } from './fit.js';
import { panel } from './panel.js';
import { sweet } from './pieces.js';
import { clock } from './times.js';

const INK = 'currentColor', QUIET = 0.66, SAY = 36, LEAST = 0.68, NUMBER = 104, MARK = 0.24, SIDE = 132;
const SIDES = { lead: /*t*/'Lead’s side', mirror: /*t*/'Mirror side' };
const MINUTE = 60000;

const isDrawn = ({ heading, second_person: two }) => heading === 'assemble' || (heading === 'size' && two);

/** A colour in a quieter tone: two thirds of the way to paper, by day or by night. */
function quiet(colour) {
  const paper = getComputedStyle(document.documentElement).getPropertyValue('--paper').trim();
  const mixed = [1, 3, 5].map((i) => [colour, paper].map((text) => parseInt(text.slice(i, i + 2), 16))).map(([own, ground]) => Math.round(own + (ground - own) * QUIET));
  return `#${mixed.map((n) => n.toString(16).padStart(2, '0')).join('')}`;
}

const element = (tag, className) => Object.assign(document.createElement(tag), { className });

/** A filler without shapes of its own is what the rest leaves inside the band. */
function withField({ picture: { shapes }, parts, portions }) {
  const drawn = new Set(shapes.map(({ part }) => part)), field = parts.find(({ id }) => !drawn.has(id));
  const band = parts.find(({ block }) => block === 'band'), i = shapes.findIndex(({ part }) => part === band?.id);
  if (!field || shapes[i]?.kind !== 'circle') return shapes;
  const r = Math.sqrt(shapes[i].r ** 2 - band.area_um2 / Math.PI), { swatch } = portions.find(({ id }) => id === field.portion);
  return [...shapes.slice(0, i + 1), { ...shapes[i], part: field.id, swatch, r }, ...shapes.slice(i + 1)];
}

/** The section with all its parts, and the mark of the end it is seen from. */
class Section {
  constructor(sheet) {
    const { picture, parts } = sheet, shapes = withField(sheet), blocks = new Map(parts.map(({ id, block }) => [id, block]));
    this.shapes = shapesOf({ shapes }).map((node, i) => ({ node, block: blocks.get(shapes[i].part), fill: shapes[i].swatch }));
    this.log = svg('g', {}, ...this.shapes.map(({ node }) => node));
    const half = picture.diameter_um / 2, r = half / 9, at = half - r;
    // Towards you a dot, away from you a cross: the point and the feathers of an arrow.
    this.near = svg('circle', { cx: -at, cy: at, r: r * 0.42, fill: INK });
    this.far = svg('path', { d: `M${-at - r * 0.6} ${at - r * 0.6}l${r * 1.2} ${r * 1.2}m0 ${-r * 1.2}l${-r * 1.2} ${r * 1.2}`, stroke: INK, 'stroke-width': r * 0.28 });
    // Of parts that were typed there are no shapes: then the log's edge is all that is drawn.
    const edge = svg('circle', { r: half, fill: 'none', stroke: INK, 'stroke-width': 800 }), ring = svg('circle', { cx: -at, cy: at, r, class: 'bare', stroke: INK, 'stroke-width': r * 0.22 });
    this.root = svg('svg', { viewBox: `${-half - 2000} ${-half - 2000} ${2 * half + 4000} ${2 * half + 4000}`, class: 'section', 'aria-hidden': 'true' }, edge, this.log, ring, this.near, this.far);
  }

  /** This block's parts filled, what is laid in a quieter tone, the rest as outline; without a block all is filled. */
  paint(block, laid, mirror) {
    attr(this.log, 'transform', mirror ? 'scale(-1 1)' : 'scale(1 1)');
    attr(this.near, 'visibility', mirror ? 'hidden' : 'visible');
    attr(this.far, 'visibility', mirror ? 'visible' : 'hidden');
    for (const { node, block: own, fill } of this.shapes) {
      const now = !block || own === block, done = laid.has(own);
      attr(node, 'fill', now ? fill : done ? quiet(fill) : 'none');
      attr(node, 'stroke', now || !done ? INK : '#8f887c');
      attr(node, 'stroke-width', block && now ? '1800' : '800');
    }
  }
}

/** The feel, how many minutes, and since when; past the last of it no number at all. */
export function stickWords({ part, since, low, high }) {
  if (high <= 0) return { feel: t`Too cold to join: warm it`, left: '', whose: t`${part.name}, on the board since ${clock(since)}` };
  const most = Math.ceil(high / MINUTE), sure = low >= MINUTE;
  return { feel: sure ? t`Dents, springs back` : t`Still springs back?`, left: sure ? `${Math.floor(low / MINUTE)}–${most}` : `<${most}`, whose: t`${part.name}, laid warm ${clock(since)}` };
}

/** The one thing that waits longest, for two metres: the feel first, then its colour, a range, and whose it is. */
class Waiting {
  constructor(sheet) {
    Object.assign(this, { sheet, drawn: '', root: element('div', 'sticks') });
    [this.feel, this.left, this.unit, this.whose] = ['sticks-feel', 'number', 'unit', 'sticks-whose'].map((name) => element('p', name));
    [this.mark, this.row, this.side] = ['sticks-mark', 'reckon', 'side'].map((name) => element('div', name));
    this.side.append(this.unit, this.whose);
    this.row.append(this.mark, this.left, this.side);
    this.root.append(this.feel, this.row);
    this.paint(null);
  }

  /** `found`: what `oldestWaiting` says; `room` [px]. */
  paint(found, now, room) {
    hide(this.root, !found);
    if (!found) return;
    const { feel, left, whose } = stickWords(found);
    this.root.classList.toggle('cold', !left);
    put(this.feel, feel);
    put(this.whose, whose);
    put(this.unit, left && t`min`);
    hide(this.left, !left);
    if (room) fit(this.left, left, NUMBER, room * (1 - MARK) - SIDE); else put(this.left, left);
    this.sweet(found, found.high + now - found.since);
  }

  /** Drawn anew with every hundredth of its time. */
  sweet({ part, low, high }, whole) {
    const portion = this.sheet.portions.find(({ id }) => id === part.portion), [sure, most] = [low, high].map((ms) => Math.round(ms / whole * 100) / 100), drawn = `${portion.id} ${sure} ${most}`;
    if (drawn === this.drawn) return;
    this.drawn = drawn;
    this.mark.replaceChildren(sweet(this.sheet, portion, { low: sure, high: most }));
  }
}

/** Beside a station's board. `looked(person)`: somebody else has looked and says yes. */
export class LayUp {
  constructor(ctx, sheet, at, looked) {
    Object.assign(this, { ctx, sheet, at, looked, section: new Section(sheet), step: null });
    this.side = key('', () => this.chooseSide(), 'stand');
    this.aside = element('div', 'block-parts');
    this.mass = element('p', 'block-mass');
    this.list = element('ul', '');
    [this.seen, this.end] = ['seen-from', 'seen-end'].map((name) => element('p', name));
    this.aside.append(this.mass, this.list, this.seen, this.end);
    this.side.append(this.section.root);
    [this.tag, this.reads] = ['reads turned', 'reads'].map((name) => element('p', name));
    this.waiting = new Waiting(sheet);
    this.yes = element('div', 'lookers');
    at.drawing.before(this.waiting.root, this.yes);
    at.look.before(this.tag, this.reads);
    this.names = '';
  }

  get mirror() { return this.ctx.shelf.record.side === 'mirror'; }

  /** A phone stands on one side of the log: chosen in two presses, kept, said in words and drawn. */
  chooseSide() {
    const choose = (side) => () => this.ctx.shelf.setPhone({ side });
    panel({ title: t`Where do you stand?`, lead: t`The drawing shows what you see.`, choices: Object.entries(SIDES).map(([side, words]) => [t(words), choose(side), 'tall']) });
  }

  /** `room` [px]: how wide the board is. */
  paint(state, step, room) {
    Object.assign(this, { step, room });
    const drawn = isDrawn(step), { drawing } = this.at;
    this.at.board.classList.toggle('laying', drawn);
    if (drawn && drawing.firstChild !== this.side) drawing.replaceChildren(this.side, this.aside);
    else if (!drawn && drawing.firstChild) drawing.replaceChildren();
    if (drawn) this.draw(state, step);
    if (drawn && room) fit(this.at.say, step.say, SAY, room, LEAST); else unfit(this.at.say);
    this.lookers(state, step);
    this.ends(state, step);
    this.tick(state);
  }

  draw(state, { block }) {
    const { sheet, mirror } = this, laid = new Set(sheet.blocks.filter(({ step }) => state.steps[step]?.state === 'done').map(({ id }) => id));
    this.section.paint(block, laid, mirror);
    const side = t(SIDES[mirror ? 'mirror' : 'lead']), where = mirror ? t`far from you` : t`near you`;
    attr(this.side, 'aria-label', t`${sheet.picture.title}, ${within(side)}: reading end ${where}. Press to change`);
    put(this.seen, side);
    put(this.end, block ? t`Reading end ${where}` : t`Reading end ${where}. ${sheet.picture.reading_end}`);
    const masses = partMasses(sheet, state);
    this.parts(sheet.parts.filter((part) => block && part.block === block).map(({ id, name }) => [name, masses.get(id)]));
  }

  words(mg) { return say(mg, 'mg', this.ctx.wanted.mg); }

  /** The block's mass, and each part by name with its own where there are several. */
  parts(parts) {
    const known = parts.length && parts.every(([, mg]) => mg !== null);
    put(this.mass, known ? this.words(parts.reduce((sum, [, mg]) => sum + mg, 0)) : '');
    const { list } = this, lines = parts.map(([name, mg]) => (parts.length > 1 && mg !== null ? `${name} ${this.words(mg)}` : name));
    lines.forEach((words, i) => put(list.children[i] ?? list.appendChild(document.createElement('li')), words));
    while (list.children.length > lines.length) list.lastElementChild.remove();
  }

  /** A second person's yes: one press each, with a photo if a hand is free; 'Done' goes on without. */
  lookers({ crew }, step) {
    const { shelf } = this.ctx, me = shelf.record.for || shelf.record.by;
    const others = step.second_person ? crew.filter(({ id }) => id !== me) : [], names = others.map(({ id }) => id).join() + (others.length ? step.id : '');
    if (names === this.names) return;
    this.names = names;
    const photo = () => import('./files.js').then(({ takePhoto }) => takePhoto(this.ctx, { batch: this.sheet.batch, station: step.station, step: step.id }, step.call));
    this.yes.replaceChildren(...others.map(({ id, name }) => key(t`${name}: yes`, () => this.looked(id))), ...(others.length ? [key(t`Photo`, photo)] : []));
  }

  /** Which end reads, as marked; after a turn how to tag the rack from now on. */
  ends({ turns, reading_end_turned: turned }, { heading }) {
    const { boil } = this.sheet, last = turns.at(-1), shown = ['assemble', 'size', 'cut'].includes(heading);
    put(this.tag, shown && last ? turned ? t`Log turned. Rack tag: ${boil.letter}, rods ${last.from_rod} on, other end reads` : t`Log turned. Rack tag: ${boil.letter}, rods ${last.from_rod} on, read as marked` : '');
    put(this.reads, shown ? t`Reading end: ${readingEnd(this.sheet, turns)}` : '');
  }

  /** Every second: a prediction grows old by itself. */
  tick(state) {
    const now = this.ctx.shelf.now();
    this.waiting.paint(this.step?.block ? oldestWaiting(this.sheet, state, this.step, now) : null, now, this.room);
  }

  rest() {
    this.step = null;
    this.at.board.classList.remove('laying');
    unfit(this.at.say);
    this.waiting.paint(null);
    for (const words of [this.tag, this.reads]) put(words, '');
    this.names = '';
    this.yes.replaceChildren();
  }
}
