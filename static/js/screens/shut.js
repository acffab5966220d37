// What keeps a phone from its work, and what to do then; and whether it keeps the app.

import { t } from '../record/language.js';
import { keepingWords } from '../sync/updates.js';
import { key, stamp } from './dom.js';

/** Whether the phone keeps the app, and whether it was started as one. */
export const appRows = ({ installed }) => [
  keepingWords(),
  installed ? [t`On the home screen`, t`Started from there.`] : [t`Not installed: data may vanish`, t`Add it to the home screen and start it from there.`],
];

/** The office locked this phone out: it neither writes nor shows; what it holds stays on it. */
export function lockedScreen(ctx) {
  const { root, at } = stamp('list');
  const { unsent, carried } = ctx.shelf.status(), held = unsent + carried;
  at.title.textContent = t`This phone is locked out`;
  at.lead.textContent = held ? t`The office did that. Still on it, safe: ${held}. Let in again, it sends them.` : t`The office did that, and can let it in again. All its entries are at the shop.`;
  at.feet.append(key(t`Ask the shop again`, () => ctx.exchange.nudge()));
  return { root, where: () => t`Locked out` };
}

/** The shop has a new address: all of this phone goes to the shop first, then the phone goes on there. */
export function movedScreen(ctx) {
  const { root, at } = stamp('list');
  const { host } = new URL(ctx.shelf.record.moved);
  const go = key(t`Go to ${host}`, () => move(), 'go');
  at.title.textContent = t`The shop has a new address`;
  at.feet.append(go, key(t`Not now`, () => { ctx.staying = true; ctx.show(); }));
  async function move() {
    try {
      location.href = await ctx.exchange.move();
    } catch (error) {
      at.lead.textContent = error.message;
    }
  }
  function update() {
    const { unsent, carried } = ctx.shelf.status(), left = unsent + carried + ctx.shelf.record.toSend.length, gone = ctx.exchange.state().refused?.code === 'locked-out';
    go.disabled = Boolean(left);
    at.lead.textContent = gone ? t`This phone is at ${host} now. Open it there.`
      : left ? t`${left} still go to the shop first.`
        : t`Everything from this phone is at the shop. Go there, add it to the home screen, start it from there.`;
  }
  return { root, update, where: () => t`New address` };
}

/** An old app may send what it holds; it may not begin a boil it could get wrong. */
export function oldAppScreen(ctx, batch) {
  const { root, at } = stamp('list');
  at.title.textContent = t`Too old an app to start a boil`;
  at.lead.textContent = t`What is on this phone is kept and sent. Take the newer app, then start; or take another phone.`;
  if (ctx.updates.ready()) at.feet.append(key(t`Take the newer app`, () => ctx.updates.apply(), 'go'));
  at.feet.append(key(t`Back`, () => ctx.go(`/b/${batch}`)));
  return { root, batch, where: () => t`Too old an app` };
}

/** The phone can't save, or another tab has the pen: said large, with what to do. */
export function brokenScreen(ctx) {
  const { root, at } = stamp('list');
  const { soleTab } = ctx.shelf.status();
  root.classList.add('broken');
  at.title.textContent = soleTab ? t`This phone can’t save` : t`Open in another tab`;
  at.lead.textContent = soleTab ? t`What you pressed is still shown, but not kept. Take another phone, and keep this one open.` : t`Only one tab writes. Close this one, or the other and start again.`;
  at.feet.append(key(t`Try again`, () => (soleTab ? ctx.shelf.retry() : location.reload()), 'go'));
  return { root, where: () => t`Can’t save` };
}
