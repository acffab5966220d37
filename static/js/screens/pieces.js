// Portions in their real colours: which lie ready since when, and how long what waits still sticks. Never by colour alone.

import { t } from '../record/language.js';
import { isFinished } from '../record/steps.js';
import { say } from '../record/words.js';
import { hide, put, stamp } from './dom.js';
import { svg } from './drawing.js';
import { figureWords } from './figures.js';
import { clock } from './times.js';
import './dress.js';

const HALF = 50, SWEET = 34, RING = 44, WORDS = 26;

/** The letters that tell a portion from the others of its sheet: one, or two where two begin alike. */
export function lettersOf({ portions }, { id, name }) {
  const first = name.slice(0, 1), alike = portions.some((other) => other.id !== id && other.name.slice(0, 1) === first);
  return name.slice(0, alike ? 2 : 1);
}

/** A part of the ring [0 to 1], from the top as a clock goes. */
const arc = (className, share) => svg('circle', { class: className, r: RING, pathLength: 1, 'stroke-dasharray': `${Math.min(Math.max(share, 0), 1)} 1`, transform: 'rotate(-90)' });

/** A cut sweet of a portion, with its letters; round it how much of its time is left: surely `low`, at most `high` [0 to 1]. */
export function sweet(sheet, portion, left) {
  const words = svg('text', { 'text-anchor': 'middle', y: WORDS / 2.8 });
  words.textContent = lettersOf(sheet, portion);
  const ring = left ? [svg('circle', { class: 'ring-all', r: RING }), arc('ring-most', left.high), arc('ring-sure', left.low)] : [];
  return svg('svg', { viewBox: `${-HALF} ${-HALF} ${2 * HALF} ${2 * HALF}`, class: 'sweet', role: 'img', 'aria-label': portion.name },
    ...ring, svg('circle', { class: 'sweet-edge', r: SWEET, fill: portion.swatch }), svg('circle', { class: 'bare', r: WORDS / 1.4 }), words);
}

/** Since when a portion lies coloured and weighed, or the white is off the hook; null while it does not. */
function readySince(sheet, state, { id, treatment }) {
  if (treatment === 'white') return state.moments.white_stop ?? null;
  const steps = Object.values(sheet.steps).filter(({ portion }) => portion === id);
  return steps.length && steps.every((step) => isFinished(state, step.id)) ? Math.max(...steps.map((step) => state.steps[step.id].at)) : null;
}

/** The tray of a station where portions are made: each with its name, its mass, and since when it is ready. */
export class Tray {
  constructor(ctx, sheet, at) {
    Object.assign(this, { ctx, sheet, shown: '' });
    Object.assign(this, { by: Object.assign(document.createElement('p'), { className: 'tray-by' }), list: Object.assign(document.createElement('ul'), { className: 'tray' }) });
    at.look.before(this.list, this.by);
  }

  paint(state, step) {
    const { sheet, ctx } = this, shows = Boolean(step) && state.moments.poured !== undefined;
    put(this.by, shows && (state.figures.close_by ?? null) !== null ? t`Log closed by ${figureWords(sheet, state, 'close_by')}` : '');
    hide(this.list, !shows);
    const facts = shows ? sheet.portions.map((portion) => [portion, readySince(sheet, state, portion), state.values[portion.record]?.value ?? state.figures[portion.figure] ?? null, portion.id === step.portion]) : [];
    const text = JSON.stringify([facts, ctx.wanted.mg]);
    if (text === this.shown) return;
    this.shown = text;
    this.list.replaceChildren(...facts.map((fact) => this.line(...fact)));
  }

  line(portion, since, mass, now) {
    const { root, at } = stamp('piece');
    root.classList.toggle('made', since !== null);
    root.classList.toggle('now', now);
    at.mark.append(sweet(this.sheet, portion));
    put(at.name, portion.name);
    put(at.mass, say(mass, 'mg', this.ctx.wanted.mg));
    put(at.since, since === null ? (now ? t`now` : t`to do`) : `✓ ${clock(since)}`);
    return root;
  }
}
