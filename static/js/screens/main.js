// Starts the floor: shelf, exchange, routes, keys, the waking screen.

import { startExchange } from '../sync/exchange.js';
import { watchForUpdate } from '../sync/updates.js';
import { addScreen } from './add.js';
import { backScreen } from './back.js';
import { boilsScreen, stationsScreen } from './boils.js';
import { burnScreen } from './burn.js';
import { Context } from './context.js';
import { cautionsScreen } from './cautions.js';
import { handoverScreen } from './handover.js';
import { owedScreen } from './owed.js';
import { peopleScreen } from './people.js';
import { brokenScreen, phoneScreen } from './phone.js';
import { makeRail } from './rail.js';
import { listenForFinish } from './keys.js';
import { stationScreen } from './station.js';
import { Ring } from './ring.js';
import { stayAwake } from './wake.js';

const PAGES = { back: backScreen, owed: owedScreen, handover: handoverScreen, burn: burnScreen, cautions: cautionsScreen };

/** The screen that an address asks for, given what this phone still lacks. */
function screenFor(ctx, parts) {
  const { shelf } = ctx;
  const { saving, soleTab } = shelf.status();
  if (saving === 'failing' || !soleTab) return brokenScreen(ctx);
  if (!shelf.phone) return addScreen(ctx);
  if (parts[0] === 'phone') return phoneScreen(ctx);
  if (parts[0] === 'people' || !shelf.phone.by) return peopleScreen(ctx);
  const [kind, batch, place] = parts;
  if (kind !== 'b' || !shelf.sheet(batch)) return boilsScreen(ctx);
  if (!place) return stationsScreen(ctx, batch);
  return (PAGES[place] ?? stationScreen)(ctx, batch, place);
}

export async function startApp(shelf) {
  const app = document.getElementById('app');
  const ctx = new Context(shelf, startExchange(shelf));
  ctx.ring = new Ring(ctx);
  const rail = makeRail(ctx);
  ctx.updates = watchForUpdate(() => shelf.tell(null));
  let screen = null, address = null;

  function show(force = false) {
    const hash = location.hash.slice(1);
    const { saving, soleTab } = shelf.status();
    const wanted = [hash.startsWith('add=') ? '/' : hash, Boolean(shelf.phone), shelf.phone?.by, saving, soleTab, Boolean(shelf.sheet(hash.split('/')[2]))].join('|');
    if (force || wanted !== address) {
      address = wanted;
      screen?.leave?.();
      screen = screenFor(ctx, hash.split('/').filter(Boolean));
      app.replaceChildren(...(screen.bare ? [] : [rail.root]), screen.root);
      ctx.exchange.watch(screen.batch ?? null);
      screen.focus?.();
    }
    screen.update?.();
    if (!screen.bare) rail.update({ batch: screen.batch, where: screen.where?.() ?? '' });
  }

  ctx.go = (to) => { location.hash = to; };
  ctx.show = show;
  addEventListener('hashchange', () => show());
  // A press is painted at once; news of keeping and sending waits for a frame, once for all of it.
  let waiting = 0;
  const later = () => { waiting ||= requestAnimationFrame(() => { waiting = 0; show(); }); };
  shelf.on(({ batch }) => (batch ? show() : later()));
  setInterval(() => { if (!document.hidden) { show(); ctx.ring.update(); } }, 1000);
  listenForFinish(() => screen);
  stayAwake();
  show();
  performance.mark('tappable');
}
