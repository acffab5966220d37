// One key for everything: a frame moves from key to key by itself, a press chooses what it stands on.
// It is turned on under 'This phone'; without it a press is what it was, the step's end.

import { deadTime, FINISH } from './keys.js';

/** Seconds on each key. WCAG 2.2.1: a pace can be set to ten times what it is at the start, or turned off. */
export const PACE = { start: 2, low: 1, high: 20 };

const KEY = 'button, a[href]', FEW = 8, ROW = 3, PASSES = 2, FIRST = 2;
// What a typed text is needed for: one key types none, and a key that does nothing is not offered.
const TYPED = '.typed:not([hidden]) ~ .keys .go';

const usable = (key) => !key.disabled && !key.inert && !key.matches(TYPED) && key.checkVisibility({ visibilityProperty: true });
const keysIn = (root) => [...root?.querySelectorAll(KEY) ?? []].filter(usable);
const leaves = (node) => [node].flat(Infinity);

/** Several in one, a lone one as it is. */
const lone = (level) => (level.length === 1 ? level[0] : level);

/** At most `FEW` in sight of each other: more of them are taken by threes, as the rows of a pad. */
function inRows(level) {
  if (level.length <= FEW) return level;
  const rows = Array.from({ length: Math.ceil(level.length / ROW) }, (_, i) => lone(level.slice(i * ROW, (i + 1) * ROW)));
  return inRows(rows);
}

/** The keys of a part of the page: few as they come, many as the page holds them together. */
function levelOf(root, order = (parts) => parts) {
  const all = keysIn(root);
  if (all.length <= FEW) return order(all);
  return inRows(order([...root.children]).map((part) => (part.matches(KEY) ? keysIn(root).filter((key) => key === part) : levelOf(part))).filter(({ length }) => length).map(lone));
}

const backwards = (parts) => [...parts].reverse();

/** A burn is the first of the rail. */
const railOf = () => keysIn(document.querySelector('.rail')).sort((one, other) => other.matches('.burn-key') - one.matches('.burn-key'));

/** What stands on top: a panel, the scene of the pour, else the screen. */
const standing = () => document.querySelector('.panel') ?? document.querySelector('.hot') ?? document.getElementById('app').lastElementChild;

/** Everything that can be pressed now, in the frame's order. A station's first is its finish; a reading's is 'Later', which is owed. */
function all() {
  const stage = standing(), bars = levelOf(document.querySelector('.bars')), rail = [lone(railOf())].filter((node) => leaves(node).length);
  if (stage.matches('.panel')) return [...stage.querySelectorAll('[data-at="later"]'), ...levelOf(stage), ...bars, ...rail];
  const finish = [...stage.querySelectorAll('.finish')].filter(usable);
  if (!finish.length) return [...bars, ...levelOf(stage), ...rail];
  return [...finish, ...bars, ...rail, ...levelOf(stage, backwards).filter((node) => node !== finish[0])];
}

export class Scan {
  constructor(ctx) {
    Object.assign(this, { ctx, alive: deadTime(), timer: 0, stage: null, level: [], path: [], at: 0, passes: 0, awake: false, running: false });
    for (const name of ['keydown', 'keyup']) addEventListener(name, (event) => this.heard(event), { capture: true });
    new MutationObserver(() => this.follow()).observe(document.getElementById('app'), { childList: true, subtree: true });
  }

  get pace() { return (this.ctx.shelf.record.scan ?? 0) * 1000; }

  /** Every second: turned on or off, or another screen. */
  update() {
    const wanted = Boolean(this.pace);
    if (wanted === this.running) return;
    this.running = wanted;
    this.home();
  }

  follow() {
    if (!this.running) return;
    if (standing() !== this.stage) { this.awake = false; this.home(); } else if (!this.framed.every(({ isConnected }) => isConnected)) this.renew();
  }

  get framed() { return leaves(this.level[this.at] ?? []); }
  get deep() { return this.path.length > 0; }

  /** A list that was written anew: the frame stays in its place. */
  renew() {
    const level = this.path.reduce((found, at) => found?.[at], this.resting ? [] : all());
    if (!Array.isArray(level) || this.at >= level.length) { this.home(); return; }
    this.level = level;
    this.frame();
  }

  /** From 140 °C to poured the frame rests until a press calls it: one press alone never pours. */
  get resting() { return !this.running || (this.stage.matches('.hot') && !this.awake); }

  home() {
    this.stage = standing();
    Object.assign(this, { level: this.resting ? [] : all(), path: [], at: 0, passes: 0 });
    this.show();
  }

  frame() {
    for (const key of document.querySelectorAll('[data-scan]')) delete key.dataset.scan;
    for (const key of this.framed) key.dataset.scan = '';
    this.framed[0]?.scrollIntoView({ block: 'nearest' });
  }

  show() {
    this.frame();
    clearTimeout(this.timer);
    if (this.level.length) this.timer = setTimeout(() => this.on(), this.pace * (this.at || this.deep ? 1 : FIRST));
  }

  /** To the next; from the last to the first, out of a group after its second pass. */
  on() {
    this.at = (this.at + 1) % this.level.length;
    if (!this.at) this.passes += 1;
    if (this.passes === PASSES) this.awake = false;
    if (!this.at && (!this.deep || this.passes === PASSES)) this.again(); else this.show();
  }

  /** The first level is made anew with each pass: bars come and go. */
  again() {
    const { passes, deep } = this;
    this.home();
    if (!deep) this.passes = passes;
  }

  /** The key that finishes elsewhere chooses here; where somebody types it types. */
  heard(event) {
    if (!this.running || !FINISH.includes(event.key) || event.ctrlKey || event.altKey || event.metaKey || event.target.matches?.('input, textarea')) return;
    event.preventDefault();
    // Who only listens whether somebody is there still hears it.
    event.stopPropagation();
    if (event.type === 'keydown' && !event.repeat && this.alive()) this.press();
  }

  press() {
    const node = this.level[this.at];
    if (!node) { this.awake = true; this.home(); } else if (!leaves(node).every(usable)) this.home();
    else if (Array.isArray(node)) { Object.assign(this, { level: node, path: [...this.path, this.at], at: 0, passes: 0 }); this.show(); } else this.choose(node);
  }

  /** Inside a panel the next press is likely beside this one: figure after figure, + after +. */
  choose(key) {
    const panel = key.closest('.panel');
    key.click();
    if (this.deep && panel?.isConnected && this.level.flat(Infinity).every(usable)) { Object.assign(this, { at: 0, passes: 0 }); this.show(); } else this.home();
  }
}
