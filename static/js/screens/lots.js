// Which lot of a material goes in: shown where it is weighed. One press takes the next; finishing the step says the one shown.

import { t } from '../record/language.js';
import { put } from './dom.js';
import './dress.js';

/** Materials whose lot is said at these steps, each once; fat against foam only where it is asked for. */
export function materialsAt({ materials = [] }, steps, foam) {
  const here = materials.filter(({ step, lots, kind }) => lots.length && steps.includes(step) && (foam || kind !== 'foam'));
  return here.filter(({ id }, i) => here.findIndex((other) => other.id === id) === i);
}

const said = (state, { id }) => state.lots.filter(({ material }) => material === id).map(({ lot }) => lot);

/** Those said, else the oldest that is open. */
function lotsOf(state, material) {
  const found = said(state, material);
  return found.length ? found : [material.lots[0].id];
}

export const markOf = ({ lots }, lot) => lots.find(({ id }) => id === lot)?.words ?? (lot || t`not said`);

/** `Sugar from S118`. */
const lotWords = (sheet, state, step) => materialsAt(sheet, [step])
  .map((material) => t`${material.name} from ${lotsOf(state, material).map((lot) => markOf(material, lot)).join(t` and `)}`).join(', ');

/** The lot that comes when this one is empty: the oldest open one that is not used; of a step with one material. */
function nextSack(sheet, state, step) {
  const [material, other] = materialsAt(sheet, [step]), used = material && lotsOf(state, material);
  return material && !other && used[0] && material.lots.find(({ id }) => !used.includes(id));
}

/** All lots of a station. */
const sacks = (ctx, batch, station) => import('./sacks.js').then(({ sacksPanel }) => sacksPanel(ctx, batch, station));

/** Beside a station's board: two keys under the line of the step in hand. */
export class Lots {
  constructor(ctx, sheet, station, at) {
    Object.assign(this, { ctx, sheet, station, at, step: '' });
    at.lots.addEventListener('click', () => this.next());
    at.sack.addEventListener('click', () => this.takeSack());
  }

  get state() { return this.ctx.state(this.sheet.batch); }

  paint(state, step) {
    const { at, sheet } = this, sack = nextSack(sheet, state, step);
    this.step = step;
    put(at.lots, lotWords(sheet, state, step));
    put(at.sack, sack ? t`and ${sack.words}` : '');
  }

  write(body, step = this.step) {
    this.ctx.write({ batch: this.sheet.batch, kind: 'lot_used', station: this.station, step, body });
    this.at.board.focus({ preventScroll: true });
  }

  /** With the step done: what its words showed and nobody has said yet. */
  say(step) {
    for (const material of materialsAt(this.sheet, [step])) if (!said(this.state, material).length) this.write({ material: material.id, lot: material.lots[0].id }, step);
  }

  /** Another sack, beside what is shown. */
  takeSack() {
    const { sheet, state, step } = this;
    this.say(step);
    this.write({ material: materialsAt(sheet, [step])[0].id, lot: nextSack(sheet, state, step).id, also: 1 });
  }

  /** Another lot instead, the last of them 'not said'; where there are several, all to choose from. */
  next() {
    const { sheet, state, step } = this, [material, other] = materialsAt(sheet, [step]), [lot, beside] = lotsOf(state, material), all = [...material.lots.map(({ id }) => id), ''];
    if (other || beside) sacks(this.ctx, sheet.batch, this.station); else this.write({ material: material.id, lot: all[(all.indexOf(lot) + 1) % all.length] });
  }

  /** The key of 'Write down' that opens them all; none where the station uses none. */
  choices() {
    const { ctx, sheet, station } = this, here = materialsAt(sheet, sheet.stations.find(({ id }) => id === station).steps, true);
    return here.length ? [[here.every(({ kind }) => kind === 'foam') ? t`Fat against foam` : t`Lots`, () => sacks(ctx, sheet.batch, station)]] : [];
  }
}
