// Words that must be read from two metres keep their size: they break, and only then are squeezed.
// Widths come from a canvas: asking the page would make the browser lay it out at every press.

import { put } from './dom.js';

const canvas = document.createElement('canvas').getContext('2d'), SCALE = 100;
const widths = new Map();

/** Width [px] of one letter at a hundred pixels, asked for once. */
function letter(sign) {
  if (!widths.size) canvas.font = `700 ${SCALE}px ${getComputedStyle(document.body).fontFamily}`;
  if (!widths.has(sign)) widths.set(sign, canvas.measureText(sign).width);
  return widths.get(sign);
}

/** Width [px] of a bold text of the floor at a size [px], without kerning. */
export const widthOf = (text, size) => ([...text].reduce((sum, sign) => sum + letter(sign), 0) * size) / SCALE;

/** The width the text needs on at most two lines, broken where that is least. */
function broken(words, size) {
  const widths = words.slice(1).map((_, i) => Math.max(...[words.slice(0, i + 1), words.slice(i + 1)].map((part) => widthOf(part.join(' '), size))));
  return Math.min(...widths);
}

/** Back to a text that flows by the style sheet. */
export function unfit(element) {
  if (fitted.delete(element)) element.removeAttribute('style');
}

const SQUEEZE = 0.78;
const fitted = new WeakMap();

/** Sets a text at `size` into `room` [px], on one line if it goes without being squeezed under `least`. */
export function fit(element, text, size, room, least = SQUEEZE) {
  const asked = `${size} ${room} ${text}`, known = fitted.get(element);
  if (known?.asked === asked) return;
  put(element, text);
  const words = text.split(' '), whole = widthOf(text, size) + 2;
  const one = words.length === 1 || room / whole >= least;
  const wide = one ? whole : broken(words, size) + 2;
  // What is squeezed takes no more room than it fills.
  const squeezed = wide > room ? `margin-right: ${room - wide}px; transform: scaleX(${(room / wide).toFixed(3)})` : '';
  const style = `font-size: ${size}px; white-space: ${one ? 'nowrap' : 'normal'}; width: ${Math.ceil(wide)}px; ${squeezed}`;
  if (known?.style !== style) element.style.cssText = style;
  fitted.set(element, { asked, style });
}
