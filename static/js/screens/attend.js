// For whoever hears the screen or walks it by keys: what changed is said, the focus is never lost, a
// panel keeps the keys to what is not covered. All of it from what stands on the page.

import { t } from '../record/language.js';
import { afterPress } from './context.js';
import { put } from './dom.js';

const AGAIN_MS = 60000, SAID_MS = 3000;
const FOCUS = 'button, a[href], input, textarea, [tabindex="0"]';
const words = (root, ...names) => names.map((name) => root?.querySelector(name)).filter((found) => found && !found.closest('[hidden]')).map(({ textContent }) => textContent.trim()).filter(Boolean);
const name = (element) => element.getAttribute('aria-label') ?? element.textContent;
const open = (element) => !element.disabled && !element.closest('[inert]') && element.checkVisibility({ visibilityProperty: true });
const reachable = (root) => [...root?.querySelectorAll(FOCUS) ?? []].filter(open);

/** `Skim. 126 °C, wall of the kettle`: what is read at two metres. */
function boardWords(board) {
  const [call = ''] = words(board, '.call'), reckoned = words(board, '.number', '.unit', '.says').join(' ');
  return [call, reckoned].filter(Boolean).join('. ');
}

const hotWords = (hot) => words(hot, '[data-at="eyes"]', '[data-at="glass"]', '.hot-label', '.hot-mark', '[data-at="take"]').join(' ');
const burnWords = (burn) => [...words(burn, 'h1'), ...[...burn?.querySelectorAll('ol li') ?? []].map(({ textContent }) => textContent)].join('. ');

export class Attend {
  constructor(ctx) {
    const app = document.getElementById('app');
    Object.assign(this, { ctx, app, before: {}, seen: new Map(), owed: null, last: null, waiting: false, emptying: 0 });
    this.said = Object.assign(document.createElement('p'), { className: 'told' });
    this.said.setAttribute('role', 'status');
    document.body.append(this.said);
    const look = () => { this.waiting = false; this.look(); };
    new MutationObserver(() => { if (!this.waiting) afterPress(look); this.waiting = true; }).observe(app, { childList: true, characterData: true, subtree: true, attributeFilter: ['hidden'] });
    addEventListener('focusin', ({ target }) => this.remember(target));
    addEventListener('keydown', (event) => this.walked(event), { capture: true });
    addEventListener('pointerdown', () => { delete document.documentElement.dataset.walked; });
    this.look();
  }

  get screen() { return this.app.querySelector(':scope > .screen, :scope > .burn'); }
  get panel() { return this.app.querySelector('.panel'); }

  look() {
    this.cover();
    this.keepFocus();
    this.tell();
    const [where = ''] = words(this.app, 'h1', '.rail [data-at="where"]');
    put(document.querySelector('title'), [where, 'Kettleside'].filter(Boolean).join(', '));
  }

  // What is said

  tell() {
    const { screen, panel } = this, hot = screen?.querySelector('.hot'), asked = panel?.matches('.reading') ? panel : null;
    const now = {
      board: hot ? '' : boardWords(screen?.querySelector('.board')), hot: hotWords(hot), burn: screen?.matches('.burn') ? burnWords(screen) : '',
      caution: words(hot ?? screen, '.caution').join(), waits: words(screen, '.waits').join(),
      asked: asked ? t`Asked: ${words(asked, 'h2', '.mark', '.how').join(', ')}` : '', value: words(asked, '.value').join(),
    };
    const fresh = Object.keys(now).filter((what) => now[what] && now[what] !== this.before[what]).map((what) => now[what]);
    this.before = now;
    const lines = [...this.newBars(), ...this.newlyOwed(), ...fresh];
    if (lines.length) this.say(lines.map((line) => line.replace(/[.]$/, '')).join('. '));
  }

  /** The region is emptied again: the same words said once more are no change, and nobody would hear them. */
  say(words) {
    this.said.textContent = words;
    clearTimeout(this.emptying);
    this.emptying = setTimeout(() => { this.said.textContent = ''; }, SAID_MS);
  }

  /** A bar is said when it comes, and then once a minute: its clock goes on every second. An alarm says itself. */
  newBars() {
    const now = performance.now(), all = [...this.app.querySelectorAll('.bar:not([role="alert"])')].map((bar) => words(bar, '.bar-words').join());
    const fresh = all.filter((line) => now - (this.seen.get(line.replace(/\d/g, '')) ?? -AGAIN_MS) >= AGAIN_MS);
    for (const line of fresh) this.seen.set(line.replace(/\d/g, ''), now);
    return fresh;
  }

  /** What is still asked for is not said to be owed yet. */
  newlyOwed() {
    const batch = location.hash.split('/')[2], sheet = this.ctx.sheet(batch);
    if (!sheet || this.panel?.matches('.reading')) return [];
    const { owed } = this.ctx.state(batch), known = this.owed?.batch === batch ? this.owed.keys : null, keys = new Set(owed.map(({ key }) => key));
    this.owed = { batch, keys };
    return known ? owed.filter(({ key }) => !known.has(key)).map(({ what, text }) => t`Owed: ${what ? sheet.records[what].label : text}`) : [];
  }

  // Where the keys are

  /** What lies whole under a panel is out of reach, for ears and keys as it is for eyes and fingers; but the
   * board, which holds the focus so that a press-button goes on past a reading.
   * From 140 °C to poured the rail's links are out of reach too. */
  cover() {
    const { panel, screen } = this;
    for (const link of this.app.querySelectorAll('.rail a')) link.inert = document.body.classList.contains('is-hot');
    if (!panel && !this.covers) return;
    this.covers = panel;
    const top = panel?.getBoundingClientRect().top ?? Infinity;
    for (const part of screen?.querySelectorAll(':scope > :not(.board)') ?? []) part.inert = part.getBoundingClientRect().top >= top;
  }

  remember(target) {
    const { screen } = this;
    this.last = { screen, target, words: name(target), place: reachable(screen).indexOf(target) };
  }

  /** What had the focus is gone: the key of the same name, else the one in its place, else the head of the new
   * screen. Whoever left the page by Tab is let go. */
  keepFocus() {
    const { activeElement: active } = document, { last, panel, screen } = this, here = last?.screen === screen;
    if ((active && active !== document.body && !active.closest('[inert]')) || !screen) return;
    if (panel && !panel.matches('.reading') && !panel.contains(last?.target)) { reachable(panel)[0]?.focus(); return; }
    if (here && last.target.isConnected && open(last.target)) return;
    const all = here && !last.target.isConnected ? reachable(screen) : [];
    (all.find((element) => name(element) === last.words) ?? all[Math.min(last?.place ?? -1, all.length - 1)] ?? this.head())?.focus({ preventScroll: true });
  }

  head() {
    const { screen } = this, head = screen.querySelector('.hot [role="heading"]') ?? screen.querySelector('.board') ?? screen.querySelector('h1') ?? screen;
    if (head.tabIndex) head.tabIndex = -1;
    return head;
  }

  /** By Tab: seen where one is; and while a panel stands, round it and what stands above it. Escape closes it from there too. */
  walked(event) {
    const { panel } = this;
    if (event.key === 'Escape' && !panel?.contains(event.target)) panel?.dispatchEvent(new Event('close'));
    if (event.key !== 'Tab') return;
    document.documentElement.dataset.walked = '';
    if (!panel) return;
    const round = [...reachable(panel), ...reachable(this.app.querySelector('.rail')), ...reachable(this.app.querySelector('.bars'))];
    const next = round.indexOf(document.activeElement) + (event.shiftKey ? -1 : 1);
    event.preventDefault();
    round.at(next < 0 ? -1 : next % round.length)?.focus();
  }
}
