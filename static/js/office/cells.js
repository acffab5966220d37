// The bench grid without the page: cells of sugar, what lies in the round, lines, fills, undo.

const MOST_UNDO = 100;

export function parse(text) {
  return text.trim().split(/\s+/).map((row) => [...row]);
}

export function format(cells) {
  return cells.map((row) => row.join('')).join('\n');
}

// Whether the middle of a cell lies in the round of the log's picture.
export function inRound(size, row, column) {
  const middle = (size - 1) / 2;
  return Math.hypot(row - middle, column - middle) <= size / 2;
}

// Cells from one to another, as Bresenham's line goes (IBM Systems Journal 4 (1965) 25).
export function line(from, to) {
  const [dr, dc] = [Math.abs(to[0] - from[0]), Math.abs(to[1] - from[1])];
  const [sr, sc] = [Math.sign(to[0] - from[0]), Math.sign(to[1] - from[1])];
  const found = [[from[0], from[1]]];
  let [row, column] = from;
  let off = dc - dr;
  while (row !== to[0] || column !== to[1]) {
    const twice = 2 * off;
    if (twice > -dr) {
      off -= dr;
      column += sc;
    }
    if (twice < dc) {
      off += dc;
      row += sr;
    }
    found.push([row, column]);
  }
  return found;
}

// All cells of one sugar that hang together by their sides, in the round.
export function area(cells, start) {
  const size = cells.length;
  const sugar = cells[start[0]][start[1]];
  const seen = new Set();
  const waiting = [start];
  const found = [];
  while (waiting.length) {
    const [row, column] = waiting.pop();
    const key = row * size + column;
    const there = row >= 0 && column >= 0 && row < size && column < size;
    if (!there || seen.has(key) || !inRound(size, row, column)) continue;
    seen.add(key);
    if (cells[row][column] !== sugar) continue;
    found.push([row, column]);
    waiting.push([row - 1, column], [row + 1, column], [row, column - 1], [row, column + 1]);
  }
  return found;
}

export function mirrored(size, places) {
  return [...places, ...places.map(([row, column]) => [row, size - 1 - column])];
}

export class Grid {
  constructor(text) {
    this.cells = parse(text);
    this.before = [];
  }

  get size() {
    return this.cells.length;
  }

  // From here on everything up to the next call is one step to undo.
  remember() {
    this.before.push(format(this.cells));
    if (this.before.length > MOST_UNDO) this.before.shift();
  }

  lay(places, sugar) {
    for (const [row, column] of places) {
      const there = this.cells[row]?.[column] !== undefined;
      if (there && inRound(this.size, row, column)) this.cells[row][column] = sugar;
    }
  }

  undo() {
    const last = this.before.pop();
    if (last !== undefined) this.cells = parse(last);
    return last !== undefined;
  }

  toString() {
    return format(this.cells);
  }
}
