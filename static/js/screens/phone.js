// This phone: whether it keeps, rings, stays awake; and what to do when it can't.

import { key, row, stamp } from './dom.js';

const yesNo = (value, yes, no) => (value ? yes : no);

export function phoneScreen(ctx) {
  const { root, at } = stamp('list');
  at.title.textContent = 'This phone';
  let shown = '';
  function lines() {
    const status = ctx.shelf.status(), { phone } = ctx.shelf, { online, refused } = ctx.exchange.state();
    return [
      [phone.name, `Number ${phone.device}`],
      [`${status.unsent} only on this phone`, refused ? refused.say : yesNo(online, 'The shop answers.', 'The shop can’t be reached now; nothing is lost.')],
      [yesNo(status.installed, 'On the home screen', 'Not installed: data may vanish'), yesNo(status.installed, 'Started from there.', 'Add it to the home screen and start it from there.')],
      [yesNo(status.persisted, 'The browser promises to keep its data', 'The browser makes no promise to keep its data'), 'Asked when the phone was added.'],
      [yesNo(ctx.ring.ready, 'Sound is ready', 'Sound is not ready'), 'Press here to try it.', () => ctx.ring.beep()],
      [yesNo('wakeLock' in navigator, 'The screen stays on', 'Set the screen to stay on by hand'), 'While Kettleside is open.'],
      ...ctx.shelf.record.aside.map(({ seq, say }) => [`Couldn’t file entry ${seq}`, say]),
    ];
  }
  function update() {
    const now = lines(), text = JSON.stringify([now, ctx.updates.ready()]);
    if (text === shown) return;
    shown = text;
    at.lead.textContent = 'Sealed, wiped, a metre from flame, off the lane.';
    at.rows.replaceChildren(...now.map(([what, more, press = () => {}]) => row({ what, more, press })));
    at.feet.replaceChildren(key('Back', () => history.back()), ...(ctx.updates.ready() && !ctx.shelf.status().unsent ? [key('Take the newer app', () => ctx.updates.apply(), 'go')] : []));
  }
  return { root, update, where: () => 'This phone' };
}

/** The phone can't save, or another tab has the pen: said large, with what to do. */
export function brokenScreen(ctx) {
  const { root, at } = stamp('list');
  const { soleTab } = ctx.shelf.status();
  root.classList.add('broken');
  at.title.textContent = soleTab ? 'This phone can’t save' : 'Open in another tab';
  at.lead.textContent = soleTab
    ? 'What you pressed is still shown, but not kept. Use another phone, and keep this one open.'
    : 'Only one tab writes. Close this one, or the other and start again.';
  at.feet.append(key('Try again', () => (soleTab ? ctx.shelf.retry() : location.reload()), 'go'));
  return { root, where: () => 'Can’t save' };
}
