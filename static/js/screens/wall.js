// The wall: a tablet that shows the whole crew's next actions of every boil. It asks for nothing and writes nothing.

import { t } from '../record/language.js';
import { readingEnd } from '../record/turns.js';
import { boilNow, pageOf, wallLines } from '../record/wall.js';
import { openBurn } from './context.js';
import { attr, key, put } from './dom.js';
import { badge, rod } from './drawing.js';
import { fit, widthOf } from './fit.js';
import { hangHere } from './hang.js';
import { clock, lasting } from './times.js';
import { element, makeLine } from './wallline.js';
import { burnWords, lineWords, owedWords } from './wallwords.js';

const PAGE_MS = 9000, OLD_MS = 30000, KEEP_MS = 60000, FADE_MS = 500, TALLER = 1.3, USUAL = 16;
const still = matchMedia('(prefers-reduced-motion: reduce)');

/** A boil in the head: its letter and pattern, who has it, its rod, what is owed, which end reads. */
function makeBoil(sheet) {
  const [lead, owed, reads] = ['wall-lead', 'wall-owed', 'wall-reads'].map((look) => element('p', look)), bar = element('div', 'wall-rod');
  return { root: element('article', 'wall-boil', badge(sheet.boil), element('div', 'wall-boil-words', element('div', '', lead, bar), owed, reads)), lead, owed, reads, bar, drawn: '' };
}

class Wall {
  constructor(ctx) {
    Object.assign(this, { ctx, boils: new Map(), lines: new Map(), nth: 0, turned: performance.now(), held: false, fits: 1, shown: '' });
    this.time = element('p', 'wall-clock');
    this.news = element('p', 'wall-news');
    this.page = key('', () => this.hold(), 'wall-page');
    this.own = key(t`This phone`, () => ctx.go('/phone'));
    this.heads = element('div', 'wall-boils');
    this.head = element('header', 'wall-head', this.heads, element('div', 'wall-now', this.time, this.news), element('div', 'wall-keys', this.page, this.own));
    this.calls = element('ul', 'wall-calls');
    this.first = makeLine('section', 'wall-first');
    this.rows = element('ol', 'wall-rows');
    this.rest = element('p', 'wall-rest');
    this.root = element('section', 'screen wall', this.head, this.calls, this.first.root, this.rows, this.rest);
    attr(this.root, 'aria-label', t`The crew’s next actions`);
    attr(this.rows, 'aria-label', t`After that`);
    this.watch = new ResizeObserver(() => { this.sizes = null; this.paint(); });
    this.watch.observe(this.root);
  }

  screen() {
    return { root: this.root, where: () => t`Wall`, update: () => this.update(), leave: () => this.watch.disconnect() };
  }

  update() {
    this.follow();
    this.keepNews();
    if (!this.held && performance.now() - this.turned > PAGE_MS) { this.turned = performance.now(); this.nth++; }
    this.paint();
  }

  /** News comes as fast as to a phone that works beside others: of the boil where somebody pressed last. */
  follow() {
    const { shelf, exchange } = this.ctx, newest = (id) => shelf.events(id).reduce((last, { hlc }) => Math.max(last, hlc[0]), 0);
    const [busiest] = this.ctx.boils().map(({ id }) => [id, newest(id)]).sort(([, a], [, b]) => b - a);
    if (busiest && exchange.watched !== busiest[0]) exchange.watch(busiest[0]);
  }

  /** When the shop was last heard [ms, corrected clock]; kept on the device, so that a start without a network knows how old all this is. */
  keepNews() {
    const { shelf, exchange } = this.ctx, { last_ok: last } = exchange.state(), kept = shelf.record.newsAt ?? 0;
    this.heard = Math.max(last, kept);
    if (this.heard - kept > KEEP_MS) shelf.setPhone({ newsAt: this.heard });
  }

  hold() {
    this.held = !this.held;
    this.turned = performance.now();
    this.paint();
  }

  paint() {
    const { ctx } = this, now = ctx.shelf.now(), boils = ctx.boils().map(({ id }) => ({ sheet: ctx.sheet(id), state: ctx.state(id) }));
    const all = wallLines(boils, now, ctx.silence?.company.phones), burn = boils.map((boil) => ({ ...boil, burn: openBurn(boil.state) })).find((boil) => boil.burn);
    this.sizes ??= this.measure();
    this.heading(boils, now);
    this.says(boils);
    this.top(burn, burn ? null : all[0], now);
    this.below(burn ? all : all.slice(1), now);
    put(this.rest, all.length ? '' : boils.length ? t`All done` : t`No boil is open. The office opens one.`);
  }

  /** The sizes are the style sheet's; text is fitted to them. */
  measure() {
    const look = getComputedStyle(this.root), size = (name) => parseFloat(look.getPropertyValue(`--${name}`));
    const larger = parseFloat(getComputedStyle(document.documentElement).fontSize) / USUAL;
    return { call: size('call'), number: size('number'), rowCall: size('row-call'), rowNumber: size('row-number'), row: size('row') * larger };
  }

  heading(boils, now) {
    put(this.time, clock(now));
    // A clock that was set back makes news of the future: as little to be trusted as old news.
    const age = now - this.heard, old = Math.abs(age) > OLD_MS;
    put(this.news, old ? this.heard ? t`No news since ${clock(this.heard)}` + lasting(age) : t`No news yet` : t`News: now`);
    this.root.classList.toggle('old-news', old);
    this.follows(this.boils, this.heads, boils, ({ sheet }) => sheet.batch, ({ sheet }) => makeBoil(sheet));
    for (const boil of boils) this.boil(this.boils.get(boil.sheet.batch), boil);
  }

  boil(made, { sheet, state }) {
    const { done, total, building } = boilNow(sheet, state), drawn = `${done}/${total}`;
    put(made.lead, t`${this.ctx.name(sheet, state.lead.by)} has the boil`);
    put(made.owed, owedWords(sheet, state));
    put(made.reads, building ? t`Reading end: ${readingEnd(sheet, state.turns)}` : '');
    if (made.drawn !== drawn) { made.drawn = drawn; made.bar.replaceChildren(rod(sheet.boil, done, total, true)); }
  }

  /** Nodes of what stands now, in its order; those that stay are left alone. */
  follows(made, home, wanted, nameOf, make) {
    const names = wanted.map(nameOf);
    for (const [name, { root }] of made) if (!names.includes(name)) { root.remove(); made.delete(name); }
    wanted.forEach((one, i) => {
      if (!made.has(names[i])) made.set(names[i], make(one));
      const { root } = made.get(names[i]);
      if (home.children[i] !== root) home.insertBefore(root, home.children[i] ?? null);
    });
  }

  /** What is asked on every phone: a station whose phone is silent, a log that was turned. It is answered there. */
  says(boils) {
    const { silence } = this.ctx, texts = boils.flatMap(({ sheet, state }) => {
      const last = state.turns.at(-1), turned = last && !last.seen && !sheet.picture.mirror_symmetric;
      const missed = (silence?.open.get(sheet.batch) ?? []).map((asked) => silence.words(sheet, state, asked));
      return [...missed, ...(turned ? [t`Log turned: from rod ${last.from_rod} the other end reads`] : [])].map((words) => `${sheet.boil.letter}: ${words}`);
    });
    texts.forEach((words, i) => put(this.calls.children[i] ?? this.calls.appendChild(document.createElement('li')), words));
    while (this.calls.children.length > texts.length) this.calls.lastElementChild.remove();
  }

  /** The most urgent line, for four metres; a burn goes before all. */
  top(burn, line, now) {
    const { first, ctx, sizes } = this, { root } = first;
    root.hidden = !burn && !line;
    if (root.hidden) return;
    root.classList.toggle('burns', Boolean(burn));
    const of = burn ?? line, words = burn ? burnWords(ctx, burn.sheet, burn.state, burn.burn) : lineWords(ctx, line, now);
    first.paint(of, words);
    const { call, number } = first, room = call.parentElement.clientWidth, side = number.parentElement.clientWidth;
    if (!room) return;
    fit(call, words.call, called(words.call, sizes.call, room), room);
    fit(number, words.number, largest(words.number, sizes.number, side), side, 0);
  }

  below(lines, now) {
    const { rows, ctx, sizes } = this, shown = pageOf(lines, this.fits, this.nth), nameOf = (line) => `${line.batch} ${line.station}`;
    const names = shown.lines.map(nameOf).join();
    this.follows(this.lines, rows, shown.lines, nameOf, () => makeLine('li', 'wall-row'));
    for (const line of shown.lines) {
      const made = this.lines.get(nameOf(line)), words = lineWords(ctx, line, now);
      made.paint(line, words);
      const { call, number } = made, room = call.parentElement.clientWidth, side = number.parentElement.clientWidth;
      if (!room) continue;
      fit(call, words.call, largest(words.call, sizes.rowCall, room), room, 0);
      fit(number, words.number, largest(words.number, sizes.rowNumber, side), side, 0);
    }
    this.turn(shown, names);
    this.count(lines, now);
  }

  /** One page fades in for the other; without motion it just stands there. */
  turn({ page, pages }, names) {
    const words = pages > 1 ? this.held ? t`Held: ${page} of ${pages}` : t`${page} of ${pages}` : '';
    put(this.page, words);
    attr(this.page, 'aria-pressed', String(this.held));
    attr(this.page, 'aria-label', this.held ? words : t`Hold this page: ${page} of ${pages}`);
    if (this.shown && this.shown !== `${page}` && pages > 1 && !still.matches) this.rows.animate([{ opacity: 0.2 }, { opacity: 1 }], { duration: FADE_MS, easing: 'ease-in' });
    this.shown = `${page}`;
  }

  /** How many rows have room, and how tall they then are; looked at with every page, and once more where that changed it. */
  count(lines, now) {
    const { rows, sizes: { row } } = this, columns = getComputedStyle(rows).gridTemplateColumns.split(' ').length;
    const deep = Math.max(Math.floor(rows.clientHeight / row), 1), fits = deep * columns;
    rows.style.gridAutoRows = `${Math.max(row, Math.min(Math.floor(rows.clientHeight / deep), row * TALLER))}px`;
    if (!rows.clientHeight || fits === this.fits) return;
    this.fits = fits;
    this.below(lines, now);
  }
}

const STEPS = [1, 0.88, 0.76, 0.64, 0.5], LEAST = 0.8;

/** The largest of a few sizes [px] at which a text goes into `room` on one line, squeezed a little at most. */
function largest(text, size, room) {
  const found = STEPS.find((share) => widthOf(text, size * share) * LEAST <= room) ?? STEPS.at(-1);
  return Math.round(size * found);
}

/** Two lines of words are larger than one that is half as tall. */
const TWO_LINES = 0.64;
const called = (text, size, room) => (text.includes(' ') ? Math.max(largest(text, size, room), Math.round(size * TWO_LINES)) : largest(text, size, room));

export function wallScreen(ctx) {
  // Told afterwards: the listeners show this very screen.
  queueMicrotask(() => hangHere(ctx));
  return new Wall(ctx).screen();
}
