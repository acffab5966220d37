// What is drawn: the boil's badge, swatches of candy, the station's rod, the section of the log.

import { t } from '../record/language.js';

const SVG = 'http://www.w3.org/2000/svg', INK = 'currentColor';

export function svg(name, attributes, ...children) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
}

const ground = (pattern) => `url(#p-${pattern})`;

/** The boil's letter on its pattern. */
export function badge({ letter, pattern }, className = 'badge') {
  const words = svg('text', { x: 32, y: 43, 'text-anchor': 'middle', fill: INK });
  words.textContent = letter;
  return svg('svg', { viewBox: '0 0 64 64', preserveAspectRatio: 'xMidYMid slice', class: className, role: 'img', 'aria-label': t`Boil ${letter}` },
    svg('rect', { width: 64, height: 64, fill: ground(pattern) }), svg('circle', { cx: 32, cy: 32, r: 21, class: 'bare', stroke: INK, 'stroke-width': 2 }), words);
}

/** A cut sweet of a portion's colour. */
export function swatch({ name, swatch: fill }) {
  return svg('svg', { viewBox: '0 0 48 48', class: 'swatch', role: 'img', 'aria-label': name },
    svg('circle', { cx: 24, cy: 24, r: 22, fill, stroke: INK, 'stroke-width': 3 }), svg('path', { d: 'M10 20a15 15 0 0 1 9-9', fill: 'none', stroke: '#fff', 'stroke-width': 4, 'stroke-linecap': 'round', opacity: 0.8 }));
}

/** The station's work as a rod: what is done is cut off, in the boil's pattern. */
export function rod({ pattern }, done, total, small = false) {
  const wide = 360, high = small ? 18 : 22, gap = total > 16 ? 4 : 6, piece = wide / Math.max(total, 1);
  const cut = Array.from({ length: done }, (_, i) => svg('rect', { x: i * piece + 1, y: 1, width: piece - gap, height: high - 2, fill: ground(pattern), stroke: INK, 'stroke-width': 2 }));
  const rest = total > done ? [
    svg('rect', { x: done * piece + 1, y: 1, width: wide - done * piece - 2, height: high - 2, class: 'bare', stroke: INK, 'stroke-width': 2 }),
    svg('rect', { x: done * piece + 1, y: 1, width: Math.max(piece - gap, 4), height: high - 2, fill: '#b4622d', stroke: INK, 'stroke-width': 2 }),
  ] : [];
  return svg('svg', { viewBox: `0 0 ${wide} ${high}`, preserveAspectRatio: 'none', class: 'rod-drawing', role: 'img', 'aria-label': t`${done} of ${total} done` }, ...cut, ...rest);
}

function shapeOf({ kind, swatch: fill, x, y, r, points }) {
  const look = { fill, stroke: INK, 'stroke-width': 1100 };
  return kind === 'circle' ? svg('circle', { cx: x, cy: -y, r, ...look }) : svg('polygon', { points: points.map(([px, py]) => `${px},${-py}`).join(' '), ...look });
}

/** Every shape of the section, outermost first. */
export const shapesOf = ({ shapes }) => shapes.map(shapeOf);

/** The section of the log from its reading end. */
export function section({ picture }) {
  const { diameter_um: wide, title } = picture, half = wide / 2 + 2000;
  return svg('svg', { viewBox: `${-half} ${-half} ${2 * half} ${2 * half}`, class: 'section', role: 'img', 'aria-label': t`${title}, from the reading end` }, ...shapesOf(picture));
}
