// The bench grid on the page: pen, finger, mouse or keys lay cells of sugar; the form carries them.

import { Grid, area, inRound, line, mirrored } from './cells.js';

const INK = '#1c1917';
const STONE = '#dcd8cf';
const GOLD = '#f2c230';
const STEPS = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };

class Bench {
  constructor(root, field) {
    this.canvas = root.querySelector('canvas');
    this.says = root.querySelector('#grid-at');
    this.root = root;
    this.field = field;
    this.grid = new Grid(field.value);
    this.sugars = [...root.querySelectorAll('[data-sugar]')];
    this.hex = Object.fromEntries(this.sugars.map((b) => [b.dataset.sugar, b.dataset.hex]));
    this.names = Object.fromEntries(this.sugars.map((b) => [b.dataset.sugar, b.dataset.name]));
    this.tool = 'cells';
    this.mirror = false;
    this.at = [Math.floor(this.grid.size / 2), Math.floor(this.grid.size / 2)];
    this.from = null; // where a line began, or the last cell of a stroke
    this.shown = []; // cells of a line that is not laid yet
    this.choose(this.sugars.find((b) => b.dataset.name !== 'White') ?? this.sugars[0]);
  }

  start() {
    this.canvas.hidden = false;
    this.root.querySelector('.tools').hidden = false;
    for (const button of this.sugars) button.addEventListener('click', () => this.choose(button));
    for (const button of this.root.querySelectorAll('[data-tool]')) {
      button.addEventListener('click', () => this.take(button.dataset.tool));
    }
    this.root.querySelector('[data-mirror]').addEventListener('click', () => this.flip());
    this.root.querySelector('[data-undo]').addEventListener('click', () => this.undo());
    this.canvas.addEventListener('pointerdown', (event) => this.down(event));
    this.canvas.addEventListener('pointermove', (event) => this.move(event));
    this.canvas.addEventListener('pointerup', () => this.up());
    this.canvas.addEventListener('pointercancel', () => this.leave());
    this.canvas.addEventListener('keydown', (event) => this.key(event));
    this.canvas.addEventListener('focus', () => this.draw());
    this.canvas.addEventListener('blur', () => this.draw());
    this.draw();
  }

  choose(button) {
    this.sugar = button.dataset.sugar;
    for (const one of this.sugars) one.setAttribute('aria-checked', String(one === button));
  }

  take(tool) {
    this.tool = tool;
    this.leave();
    for (const one of this.root.querySelectorAll('[data-tool]')) {
      one.setAttribute('aria-checked', String(one.dataset.tool === tool));
    }
  }

  flip() {
    this.mirror = !this.mirror;
    this.root.querySelector('[data-mirror]').setAttribute('aria-pressed', String(this.mirror));
  }

  undo() {
    this.grid.undo();
    this.leave();
    this.changed();
  }

  leave() {
    this.from = null;
    this.shown = [];
    this.draw();
  }

  place(event) {
    const box = this.canvas.getBoundingClientRect();
    const cell = box.width / this.grid.size;
    const within = (v) => Math.min(this.grid.size - 1, Math.max(0, Math.floor(v / cell)));
    return [within(event.clientY - box.top), within(event.clientX - box.left)];
  }

  down(event) {
    event.preventDefault();
    // A page that scrolls under the pen would have it draw elsewhere.
    this.canvas.focus({ preventScroll: true });
    this.canvas.setPointerCapture(event.pointerId);
    this.at = this.place(event);
    if (this.tool === 'fill') this.fill();
    else this.begin();
  }

  move(event) {
    if (!this.from) return;
    this.at = this.place(event);
    if (this.tool === 'line') this.shown = line(this.from, this.at);
    else this.stroke();
    this.draw();
  }

  up() {
    if (!this.from) return;
    if (this.tool === 'line') this.lay(this.shown);
    this.leave();
  }

  begin() {
    this.grid.remember();
    this.from = this.at;
    if (this.tool === 'line') this.shown = [this.at];
    else this.stroke();
    this.draw();
  }

  stroke() {
    this.lay(line(this.from, this.at));
    this.from = this.at;
  }

  fill() {
    this.grid.remember();
    const places = area(this.grid.cells, this.at);
    this.lay(places);
    this.draw();
  }

  lay(places) {
    this.grid.lay(this.mirror ? mirrored(this.grid.size, places) : places, this.sugar);
    this.changed();
  }

  changed() {
    this.field.value = this.grid.toString();
    this.draw();
  }

  key(event) {
    const step = STEPS[event.key];
    const number = Number.parseInt(event.key, 10);
    const act = {
      ' ': () => this.press(),
      Enter: () => this.press(),
      l: () => this.longLine(),
      f: () => this.fill(),
      m: () => this.flip(),
      u: () => this.undo(),
      Escape: () => this.leave(),
    }[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (step) this.go(step);
    else if (number >= 1 && this.sugars[number - 1]) this.choose(this.sugars[number - 1]);
    else if (act) act();
    else return;
    event.preventDefault();
    this.tell();
  }

  go([down, right]) {
    const last = this.grid.size - 1;
    this.at = [
      Math.min(last, Math.max(0, this.at[0] + down)),
      Math.min(last, Math.max(0, this.at[1] + right)),
    ];
    if (this.from) this.shown = line(this.from, this.at);
    this.draw();
  }

  press() {
    if (this.from) return this.longLine();
    this.grid.remember();
    this.lay([this.at]);
  }

  // By keys a line is begun, led with the arrows, and ended by the same key.
  longLine() {
    if (!this.from) {
      this.grid.remember();
      this.from = this.at;
      this.shown = [this.at];
      this.draw();
    } else {
      this.lay(this.shown);
      this.leave();
    }
  }

  tell() {
    const [row, column] = this.at;
    const there = this.names[this.grid.cells[row][column]];
    const outside = inRound(this.grid.size, row, column) ? there : 'outside the log';
    const led = this.from ? ', a line is led' : '';
    this.says.textContent = `Row ${row + 1}, column ${column + 1}: ${outside}${led}.`;
  }

  draw() {
    const { grid, canvas } = this;
    const pen = canvas.getContext('2d');
    const cell = canvas.width / grid.size;
    pen.clearRect(0, 0, canvas.width, canvas.height);
    grid.cells.forEach((row, r) => {
      row.forEach((sugar, c) => {
        pen.fillStyle = inRound(grid.size, r, c) ? this.hex[sugar] : STONE;
        pen.fillRect(c * cell, r * cell, cell + 0.5, cell + 0.5);
      });
    });
    this.rule(pen, cell);
    const shown = this.mirror ? mirrored(grid.size, this.shown) : this.shown;
    pen.fillStyle = this.hex[this.sugar];
    for (const [r, c] of shown) pen.fillRect(c * cell, r * cell, cell, cell);
    if (document.activeElement === canvas) this.mark(pen, cell);
  }

  rule(pen, cell) {
    const { width } = this.canvas;
    pen.lineWidth = 1;
    pen.strokeStyle = 'rgba(28, 25, 23, 0.16)';
    pen.beginPath();
    for (let n = 0; n <= this.grid.size; n += 1) {
      pen.moveTo(n * cell, 0);
      pen.lineTo(n * cell, width);
      pen.moveTo(0, n * cell);
      pen.lineTo(width, n * cell);
    }
    pen.stroke();
    pen.strokeStyle = INK;
    pen.lineWidth = this.mirror ? 4 : 1.5;
    pen.beginPath();
    pen.moveTo(width / 2, 0);
    pen.lineTo(width / 2, width);
    pen.stroke();
    pen.lineWidth = 4;
    pen.beginPath();
    pen.arc(width / 2, width / 2, width / 2 - 2, 0, 2 * Math.PI);
    pen.stroke();
  }

  mark(pen, cell) {
    const [row, column] = this.at;
    for (const [colour, thick] of [[INK, 7], [GOLD, 3]]) {
      pen.strokeStyle = colour;
      pen.lineWidth = thick;
      pen.strokeRect(column * cell, row * cell, cell, cell);
    }
  }
}

const root = document.querySelector('[data-grid]');
new Bench(root, document.querySelector('#id_cells')).start();
