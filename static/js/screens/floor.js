// The floor: which screen stands, and that it follows every change.

import { startExchange } from '../sync/exchange.js';
import { watchForUpdate } from '../sync/updates.js';
import { makeBars } from './bars.js';
import { batteryOf } from './battery.js';
import { afterPress, Context, isHot, isShut, PRESS_MS } from './context.js';
import { listenForFinish } from './keys.js';
import { makeRail } from './rail.js';
import { stationScreen } from './station.js';

const FORGET_AFTER_MS = 60000, REST_AFTER_MS = 10000;
const BESIDE = ['back', 'burn', 'cautions', 'end', 'handover', 'owed'];

/** Boils that are hot, as far as they are here. */
const hotBoils = (ctx) => ctx.boils().filter(({ id }) => isHot(ctx.shelf.sheet(id), ctx.state(id)));

/** The screens that no station needs at its start: on their way as soon as the first one stands. Those
 * that are not here yet, in a phone just added, are asked for again with the next address. */
const pages = { near: null, beside: null };
const bringNear = async () => { pages.near ??= await import('./pages.js'); };
const bringBeside = async () => { pages.beside ??= await import('./beside.js'); };

/** Words and degrees as whoever presses reads them: brought only where they are not English and metric, and
 * never changed under an entry that is being made. What is not here yet is asked for again. */
async function readAs(ctx) {
  const wanted = `${ctx.reads('language') || 'en'} ${ctx.wanted['m°C']}`;
  if (wanted === (ctx.reading ?? 'en ') || document.querySelector('.panel')) return false;
  ctx.reading = wanted;
  return import('./reads.js').then(({ readSo }) => readSo(ctx, wanted)).catch(() => { setTimeout(() => { ctx.reading = null; }, REST_AFTER_MS); return false; });
}

/** The screen that an address asks for; a station is always here. */
function screenFor(ctx, parts) {
  const { shelf } = ctx, [kind, batch, place] = parts;
  const sound = shelf.saving !== 'failing' && shelf.soleTab && !isShut(ctx) && shelf.phone && kind === 'b' && shelf.sheet(batch);
  if (sound && place && !BESIDE.includes(place) && ctx.mayStart(batch)) return stationScreen(ctx, batch, place);
  return pages.near?.pageFor(ctx, parts, pages.beside) ?? { root: document.createElement('div'), where: () => '', coming: pages.near ? bringBeside : bringNear };
}

/** What decides which screen stands; while it stays the same the screen only updates. */
function addressNow(ctx) {
  const { shelf, staying, safe } = ctx, hash = location.hash.slice(1), { saving, soleTab, phone } = shelf;
  return [hash.startsWith('add=') ? '/' : hash, Boolean(phone), phone?.by, shelf.record.for, isShut(ctx), saving, soleTab, Boolean(shelf.sheet(hash.split('/')[2])), ctx.trusted, shelf.record.moved && !staying && safe()].join('|');
}

/** What the rest of the app does by itself, once it is here. */
const watch = (ctx) => pages.beside?.everySecond(ctx, hotBoils(ctx).length > 0);

/** Started anew while its boil is hot, the phone is where it stood, not at the list. */
function comeBack(ctx) {
  const { batch, station } = ctx.shelf.phone ?? {};
  if (location.hash || !station || !hotBoils(ctx).some(({ id }) => id === batch)) return;
  history.replaceState(null, '', `#/b/${batch}/${station}`);
}

/** `shelf`: opened while these modules were still on their way. */
export async function start(shelf) {
  const app = document.getElementById('app'), exchange = startExchange(shelf), updates = watchForUpdate(() => shelf.tell());
  const ctx = new Context(shelf, exchange, updates);
  ctx.go = (to) => { location.hash = to; };
  /** A newer app is taken only with everything on disk and nothing hot. */
  ctx.safe = () => !shelf.status().unkept && !hotBoils(ctx).length;
  let screen = null, address = null, pressedAt = -PRESS_MS, heldUntil = 0, rail = makeRail(ctx), bars = makeBars(ctx);

  function open() {
    screen?.leave?.();
    screen = screenFor(ctx, location.hash.slice(1).split('/').filter(Boolean));
    screen.coming?.().then(() => { address = null; show(); }, () => {});
    app.replaceChildren(rail.root, bars.root, screen.root);
    exchange.watch(screen.batch ?? null);
    scrollTo(0, 0);
  }
  function anew() { rail = makeRail(ctx); bars = makeBars(ctx); address = null; show(); }
  function show() {
    readAs(ctx).then((changed) => changed && anew());
    const wanted = addressNow(ctx), fresh = wanted !== address;
    if (fresh) { address = wanted; open(); }
    screen.update?.();
    const { batch, up, burning } = screen;
    rail.update({ batch, up, burning, where: screen.where() });
    bars.update(screen);
    // With the frame: to focus, the browser lays the page out, and once is enough.
    if (fresh) requestAnimationFrame(() => screen.focus?.());
  }

  // A key made anew under a finger would lose its press: news waits until it has lifted, a second at most.
  const hold = (ms) => () => { heldUntil = performance.now() + ms; };
  addEventListener('pointerdown', hold(1000), true);
  for (const lifted of ['pointerup', 'pointercancel']) addEventListener(lifted, hold(50), true);
  function showNews() { if (performance.now() < heldUntil) later(); else show(); }

  /** Every second: clocks, and what other boils call. */
  function tick() {
    if (document.hidden) return;
    if (performance.now() - pressedAt < PRESS_MS) { afterPress(tick); return; }
    showNews();
    if (shelf.phone) watch(ctx);
    bars.update(screen, true);
  }

  ctx.show = show;
  addEventListener('hashchange', () => show());
  // What a press does to the work is painted at once, all else of the screen a moment later; other news waits
  // for a frame, once for all of it.
  let waiting = 0;
  const later = () => { waiting ||= requestAnimationFrame(() => { waiting = 0; showNews(); }); };
  const press = () => {
    pressedAt = performance.now();
    if (!screen.counting?.()) { screen.update?.(); bars.update(screen); }
    rail.stage();
    afterPress(later);
  };
  shelf.on((pressed) => (pressed ? press() : later()));
  setInterval(tick, 1000);
  document.addEventListener('visibilitychange', tick);
  listenForFinish(() => screen);
  comeBack(ctx);
  if (await readAs(ctx)) anew(); else show();
  if (screen.coming) await bringNear().catch(() => {}); else requestAnimationFrame(() => setTimeout(() => bringNear().catch(() => {})));
  performance.mark('tappable');
  // A phone that is being added answers first, and fetches the rest meanwhile.
  setTimeout(() => updates.keepRest().then(bringBeside).catch(() => {}), shelf.phone ? 0 : REST_AFTER_MS);
  batteryOf(() => shelf.tell()).then((found) => { ctx.battery = found; });
  setTimeout(() => import('../store/forgetting.js').then(({ forget }) => forget(shelf)).catch(() => {}), FORGET_AFTER_MS);
}
