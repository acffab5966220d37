// Evaluating the sheet's reckoning graph; shop/record/graph.py does exactly the same.
// Whole numbers only. A missing operand gives null; nothing is clamped or guessed.

import { halfUp } from './reading.js';

const big = BigInt;

/** Values of the named figures, or null where one of them is missing. */
function all(figures, names) {
  const values = names.map((name) => figures[name]);
  return values.some((v) => v === null) ? null : values;
}

function table(x, xs, ys) {
  if (x < xs[0] || x > xs[xs.length - 1]) return null;
  let low = 0, high = xs.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (xs[middle] <= x) low = middle; else high = middle;
  }
  const left = big(ys[low]) * big(xs[high] - x) + big(ys[high]) * big(x - xs[low]);
  return halfUp(left, big(xs[high] - xs[low]));
}

function quotient(a, b, num, den) {
  const top = big(a) * big(num), bottom = big(b) * big(den);
  if (bottom === 0n) return null;
  return bottom > 0n ? halfUp(top, bottom) : halfUp(-top, -bottom);
}

const OPS = {
  given: (f, inputs, n) => n,
  read: (f, inputs, what, fallback) => inputs.latest[what] ?? (fallback ? f[fallback] : null),
  moment: (f, inputs, name) => inputs.moments[name] ?? null,
  tally: (f, inputs, what) => inputs.tallies[what] ?? 0,
  sum: (f, inputs, ...terms) => {
    const values = all(f, terms.map(([name]) => name));
    return values && values.reduce((total, v, i) => total + big(v) * big(terms[i][1]), 0n);
  },
  product: (f, inputs, a, b, num, den) => {
    const values = all(f, [a, b]);
    return values && halfUp(big(values[0]) * big(values[1]) * big(num), big(den));
  },
  quotient: (f, inputs, a, b, num, den) => {
    const values = all(f, [a, b]);
    return values && quotient(...values, num, den);
  },
  min: (f, inputs, ...names) => {
    const values = all(f, names);
    return values && Math.min(...values);
  },
  max: (f, inputs, ...names) => {
    const values = all(f, names);
    return values && Math.max(...values);
  },
  first: (f, inputs, ...names) => f[names.find((name) => f[name] !== null)] ?? null,
  table: (f, inputs, x, xs, ys) => (f[x] === null ? null : table(f[x], xs, ys)),
  guard: (f, inputs, x, low, high) => (f[x] !== null && low <= f[x] && f[x] <= high ? f[x] : null),
};

const INPUTS = ['given', 'read', 'moment', 'tally'];
const apart = new WeakMap();

/** Each figure's operation taken apart, once for a graph. `under`: the figures it is reckoned from; null where it
 * looks at the inputs themselves. */
function takenApart(graph) {
  if (!apart.has(graph)) apart.set(graph, graph.map(({ name, op: [kind, ...operands] }) => ({ name, operands, reckon: OPS[kind], under: INPUTS.includes(kind) ? null : operands.flat(2).filter((x) => typeof x === 'string') })));
  return apart.get(graph);
}

/** Every figure of the graph; `inputs` = {latest, moments, tallies}. `before`: the figures for other inputs; what
 * hangs on none that moved is taken from there. */
export function evaluate(graph, inputs, before = null) {
  const figures = {}, moved = new Set();
  for (const { name, operands, reckon, under } of takenApart(graph)) {
    if (before && under && !(moved.size && under.some((figure) => moved.has(figure)))) { figures[name] = before[name]; continue; }
    const value = reckon(figures, inputs, ...operands), number = value === null ? null : Number(value);
    figures[name] = Number.isSafeInteger(number) ? number : null;
    if (figures[name] !== before?.[name]) moved.add(name);
  }
  return figures;
}
