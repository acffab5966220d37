// One line of the wall: what to do, the number, the piece in hand, who, and who waits. Made once, then only changed.

import { RANKS } from '../record/wall.js';
import { put } from './dom.js';
import { badge, svg } from './drawing.js';
import { lettersOf } from './pieces.js';

const INK = '#1c1917', MOST = 4;
export const element = (tag, className, ...children) => { const made = Object.assign(document.createElement(tag), { className }); made.append(...children); return made; };

/** A cut sweet in its real colour, with the letters of its portion: never the colour alone. */
function lettered(sheet, portion) {
  const letters = svg('text', { x: 24, y: 31, 'text-anchor': 'middle', fill: INK });
  letters.textContent = lettersOf(sheet, portion);
  return svg('svg', { viewBox: '0 0 48 48', class: 'wall-swatch', 'aria-hidden': 'true' }, svg('circle', { cx: 24, cy: 24, r: 22, fill: portion.swatch, stroke: 'currentColor', 'stroke-width': 3 }), svg('circle', { cx: 24, cy: 24, r: 14, fill: '#fff', stroke: INK, 'stroke-width': 2 }), letters);
}

/** `tag` with the look `className`; `paint(line, words)` changes it, all but the fitted `call` and `number`. */
export function makeLine(tag, className) {
  const [call, number, unit, says, who, place, piece, waits, band] = ['wall-call', 'wall-number', 'wall-unit', 'wall-says', 'wall-who', 'wall-place', 'wall-piece', 'wall-waits', 'band'].map((look) => element(look === 'wall-call' ? 'h3' : 'p', look));
  const mark = element('div', 'wall-mark'), colours = element('div', 'wall-colours');
  const root = element(tag, `wall-item ${className}`, mark,
    element('div', 'wall-do', call), element('div', 'wall-sum', number), element('div', 'wall-what', unit, says),
    element('div', 'wall-hand', who, place), element('div', 'wall-in-hand', colours, piece), band, waits);
  let boil = '', drawn = '';

  function marks(sheet) {
    if (boil === sheet.batch) return;
    boil = sheet.batch;
    mark.replaceChildren(badge(sheet.boil));
    root.dataset.pattern = sheet.boil.pattern;
  }
  function swatches(sheet, portions) {
    const wanted = portions.slice(0, MOST), names = wanted.map(({ id }) => id).join();
    if (drawn === names) return;
    drawn = names;
    colours.replaceChildren(...wanted.map((portion) => lettered(sheet, portion)));
  }
  function paint(line, words) {
    marks(line.sheet);
    swatches(line.sheet, words.portions ?? []);
    for (const [node, text] of [[unit, words.unit], [says, words.says], [who, words.who], [place, words.where], [piece, words.piece === words.call ? '' : words.piece], [waits, words.waits], [band, words.band]]) put(node, text);
    root.classList.toggle('hot-sugar', Boolean(line.hot));
    root.classList.toggle('rings', line.rank === RANKS.rings);
    root.classList.toggle('own-wait', Boolean(line.waits_for?.length) && !line.hot);
    root.dataset.station = line.station ?? '';
    root.dataset.batch = line.sheet.batch;
  }
  return { root, call, number, paint };
}
