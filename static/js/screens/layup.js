// Where the picture is built and first seen: this block big in its section, from the builder's own
// side; what waits and how long it sticks; which end reads; and who looked. Nodes are changed, never rebuilt.

import { partMasses } from '../record/blocks.js';
import { oldestWaiting } from '../record/sticking.js';
import { readingEnd } from '../record/turns.js';
import { say } from '../record/words.js';
import { attr, key, put } from './dom.js';
import { shapesOf, svg } from './drawing.js';
import { fit, unfit } from './fit.js';
import { panel } from './panel.js';
import { clock } from './times.js';

const INK = '#1c1917', PAPER = '#faf7f1', QUIET = 0.66, SAY = 36, LEAST = 0.68;
const SIDES = { lead: 'Lead’s side', mirror: 'Mirror side' };
const MINUTE = 60000;

const isDrawn = ({ heading, second_person: two }) => heading === 'assemble' || (heading === 'size' && two);

/** A colour in a quieter tone: two thirds of the way to paper. */
function quiet(colour) {
  const mixed = [1, 3, 5].map((i) => [colour, PAPER].map((text) => parseInt(text.slice(i, i + 2), 16))).map(([own, ground]) => Math.round(own + (ground - own) * QUIET));
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
    const edge = svg('circle', { r: half, fill: 'none', stroke: INK, 'stroke-width': 800 }), ring = svg('circle', { cx: -at, cy: at, r, fill: '#fff', stroke: INK, 'stroke-width': r * 0.22 });
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

/** The feel before the number; past the last of it no number at all. */
export function stickWords({ part, since, low, high }) {
  if (high <= 0) return ['Too cold to join: warm it', `${part.name}, on the board since ${clock(since)}`];
  const most = Math.ceil(high / MINUTE), words = low > 0 ? `Dents, springs back: ${Math.floor(low / MINUTE)}–${most} min` : `Still springs back? ${most} min at most`;
  return [words, `${part.name}, laid warm ${clock(since)}`];
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
    [this.sticks, this.waiting, this.tag, this.reads] = ['sticks', 'waiting', 'reads turned', 'reads'].map((name) => element('p', name));
    this.yes = element('div', 'lookers');
    at.drawing.before(this.sticks, this.waiting, this.yes);
    at.cue.before(this.tag, this.reads);
    this.names = '';
  }

  get mirror() { return this.ctx.shelf.record.side === 'mirror'; }

  /** A phone stands on one side of the log: chosen in two presses, kept, said in words and drawn. */
  chooseSide() {
    const choose = (side) => () => this.ctx.shelf.setPhone({ side });
    panel({ title: 'Where do you stand?', lead: 'The drawing shows what you see.', choices: Object.entries(SIDES).map(([side, words]) => [words, choose(side), 'tall']) });
  }

  /** `room` [px]: how wide the board is. */
  paint(state, step, room) {
    this.step = step;
    const drawn = isDrawn(step), { drawing } = this.at;
    this.at.board.classList.toggle('laying', drawn);
    if (drawn && drawing.firstChild !== this.side) drawing.replaceChildren(this.side, this.aside);
    else if (!drawn) drawing.replaceChildren();
    if (drawn) this.draw(state, step);
    if (drawn && room) fit(this.at.say, step.say, SAY, room, LEAST); else unfit(this.at.say);
    this.lookers(state, step);
    this.ends(state, step);
    this.tick(state);
  }

  draw(state, { block }) {
    const { sheet, mirror } = this, laid = new Set(sheet.blocks.filter(({ step }) => state.steps[step]?.state === 'done').map(({ id }) => id));
    this.section.paint(block, laid, mirror);
    const side = SIDES[mirror ? 'mirror' : 'lead'], where = mirror ? 'far from you' : 'near you';
    attr(this.side, 'aria-label', `${sheet.picture.title}, ${side.toLowerCase()}: reading end ${where}. Press to change`);
    put(this.seen, side);
    put(this.end, block ? `Reading end ${where}` : `Reading end ${where}. ${sheet.picture.reading_end}`);
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
    this.yes.replaceChildren(...others.map(({ id, name }) => key(`${name}: yes`, () => this.looked(id))), ...(others.length ? [key('Photo', photo)] : []));
  }

  /** Which end reads, as marked; after a turn how to tag the rack from now on. */
  ends({ turns, reading_end_turned: turned }, { heading }) {
    const { boil } = this.sheet, last = turns.at(-1), shown = ['assemble', 'size', 'cut'].includes(heading);
    put(this.tag, shown && last ? `Log turned. Rack tag: ${boil.letter}, rods ${last.from_rod} on, ${turned ? 'other end reads' : 'read as marked'}` : '');
    put(this.reads, shown ? `Reading end: ${readingEnd(this.sheet, turns)}` : '');
  }

  /** Every second: a prediction grows old by itself. */
  tick(state) {
    const found = this.step?.block ? oldestWaiting(this.sheet, state, this.step, this.ctx.shelf.now()) : null;
    const [words, whose] = found ? stickWords(found) : ['', ''];
    put(this.sticks, words);
    put(this.waiting, whose);
    this.sticks.classList.toggle('cold', Boolean(found) && found.high <= 0);
  }

  rest() {
    this.step = null;
    this.at.board.classList.remove('laying');
    unfit(this.at.say);
    for (const words of [this.sticks, this.waiting, this.tag, this.reads]) put(words, '');
    this.names = '';
    this.yes.replaceChildren();
  }
}
