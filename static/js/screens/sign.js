// A sign in one line: told apart by its shape, in the colour of the words beside it.

const SVG = 'http://www.w3.org/2000/svg', WIDTH = 4;

function drawn(name, facts) {
  const element = document.createElementNS(SVG, name);
  for (const [fact, value] of Object.entries(facts)) element.setAttribute(fact, value);
  return element;
}

/** `line`: a path on a square of 48. */
export function sign(line, side = 44) {
  const found = drawn('svg', { viewBox: '0 0 48 48', width: side, height: side, 'aria-hidden': 'true' });
  found.append(drawn('path', { d: line, fill: 'none', stroke: 'currentColor', 'stroke-width': WIDTH, 'stroke-linejoin': 'round' }));
  return found;
}
