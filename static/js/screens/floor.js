// The floor: which screen stands, and that it follows every change.

import { addScreen } from './add.js';
import { backScreen } from './back.js';
import { makeBars } from './bars.js';
import { boilsScreen, isHot, stationsScreen } from './boils.js';
import { burnScreen } from './burn.js';
import { cautionsScreen } from './cautions.js';
import { Context } from './context.js';
import { endScreen } from './end.js';
import { handoverScreen } from './handover.js';
import { listenForFinish } from './keys.js';
import { owedScreen } from './owed.js';
import { peopleScreen } from './people.js';
import { brokenScreen, phoneScreen } from './phone.js';
import { makeRail } from './rail.js';
import { Ring } from './ring.js';
import { stationScreen } from './station.js';
import { stayAwake } from './wake.js';

const PAGES = { back: backScreen, burn: burnScreen, cautions: cautionsScreen, end: endScreen, handover: handoverScreen, owed: owedScreen };

/** The screen that an address asks for, given what this phone still lacks. */
function screenFor(ctx, [kind, batch, place]) {
  const { shelf } = ctx, { saving, soleTab } = shelf;
  if (saving === 'failing' || !soleTab) return brokenScreen(ctx);
  if (!shelf.phone) return addScreen(ctx);
  if (kind === 'phone') return phoneScreen(ctx);
  if (kind === 'people' || !shelf.phone.by) return peopleScreen(ctx);
  if (kind !== 'b' || !shelf.sheet(batch)) return boilsScreen(ctx);
  if (!place) return stationsScreen(ctx, batch);
  return (PAGES[place] ?? stationScreen)(ctx, batch, place);
}

/** What decides which screen stands; while it stays the same the screen only updates. */
function addressNow({ shelf }) {
  const hash = location.hash.slice(1), { saving, soleTab, phone } = shelf;
  return [hash.startsWith('add=') ? '/' : hash, Boolean(phone), phone?.by, saving, soleTab, Boolean(shelf.sheet(hash.split('/')[2]))].join('|');
}

export function start(shelf, exchange, updates) {
  const app = document.getElementById('app'), ctx = new Context(shelf, exchange, updates);
  ctx.ring = new Ring(ctx);
  ctx.go = (to) => { location.hash = to; };
  /** A newer app is taken only with everything on disk and nothing hot. */
  ctx.safe = () => !shelf.status().unkept && !ctx.boils().some(({ id }) => isHot(shelf.sheet(id), ctx.state(id)));
  const rail = makeRail(ctx), bars = makeBars(ctx);
  let screen = null, address = null;

  function open() {
    screen?.leave?.();
    screen = screenFor(ctx, location.hash.slice(1).split('/').filter(Boolean));
    app.replaceChildren(rail.root, bars.root, screen.root);
    exchange.watch(screen.batch ?? null);
    scrollTo(0, 0);
  }
  function show() {
    const wanted = addressNow(ctx), fresh = wanted !== address;
    if (fresh) { address = wanted; open(); }
    screen.update?.();
    const { batch, up, burning } = screen;
    rail.update({ batch, up, burning, where: screen.where() });
    bars.update(screen);
    if (fresh) screen.focus?.();
  }

  /** Every second: clocks, and what other boils call. */
  function tick() {
    if (document.hidden) return;
    show();
    bars.update(screen, true);
    ctx.ring.update();
  }

  ctx.show = show;
  addEventListener('hashchange', () => show());
  // A press is painted at once; news of keeping and sending waits for a frame, once for all of it.
  let waiting = 0;
  const later = () => { waiting ||= requestAnimationFrame(() => { waiting = 0; show(); }); };
  shelf.on(({ batch }) => (batch ? show() : later()));
  setInterval(tick, 1000);
  document.addEventListener('visibilitychange', tick);
  listenForFinish(() => screen);
  stayAwake();
  show();
  performance.mark('tappable');
  return ctx;
}
