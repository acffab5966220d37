// This phone: whether it keeps, rings, stays awake; and what to do when it can't.

import { waiting } from '../store/incidents.js';
import { BUILD } from '../sync/condition.js';
import { keepingWords } from '../sync/updates.js';
import { key, row, stamp } from './dom.js';

const UNITS = { degrees: [['', '°C'], ['degF', '°F']], masses: [['', 'kg and g'], ['lb', 'lb']] };

function keeping({ installed, persisted, unsent, carried }, { online, refused }) {
  return [
    [unsent ? `${unsent} only on this phone` : 'Everything is at the shop', refused ? refused.say : online ? 'The shop answers.' : 'The shop can’t be reached now; nothing is lost.'],
    ...(carried ? [[`Carries entries of other phones: ${carried}`, 'They stay until the shop has named them.']] : []),
    ...appRows({ installed }),
    [persisted ? 'The browser promises to keep its data' : 'The browser makes no promise to keep its data', 'Asked when the phone was added.'],
  ];
}

/** From phone to phone where there is no network. */
const carryRows = (ctx, { unsent, carried }) => [
  ['Hand my entries to another phone', unsent + carried ? `Not at the shop yet: ${unsent + carried}. In one file, without photos.` : 'All are at the shop; another phone may still lack them. In one file, without photos.', () => import('./carry.js').then(({ handEntries }) => handEntries(ctx))],
  ['Carry another phone’s entries', 'Takes such a file, shows it here, and brings it to the shop.', () => import('./carry.js').then(({ carryEntries }) => carryEntries(ctx))],
];

/** Whether the phone keeps the app, and whether it was started as one. */
export const appRows = ({ installed }) => [
  keepingWords(),
  installed ? ['On the home screen', 'Started from there.'] : ['Not installed: data may vanish', 'Add it to the home screen and start it from there.'],
];

const megabytes = (bytes) => Math.round(bytes / 1e6);

export function phoneScreen(ctx) {
  const { root, at } = stamp('list');
  at.title.textContent = 'This phone';
  let shown = '', room = null;
  ctx.shelf.room().then((found) => { room = found; update(); });

  function turn(name) {
    const choices = UNITS[name], now = choices.findIndex(([value]) => value === (ctx.shelf.record[name] ?? ''));
    return [`${name === 'degrees' ? 'Degrees' : 'Masses'} in ${choices[now][1]}`, `Press for ${choices[1 - now][1]}.`, () => ctx.shelf.setPhone({ [name]: choices[1 - now][0] })];
  }
  function lines() {
    const { phone, record } = ctx.shelf, [kept, ...others] = keeping(ctx.shelf.status(), ctx.exchange.state());
    return [
      kept, ...carryRows(ctx, ctx.shelf.status()), ...others,
      ...(room ? [[`${megabytes(room.usage)} of ${megabytes(room.quota)} MB used`, 'What the browser allows Kettleside on this phone.']] : []),
      [ctx.ring.ready ? 'Sound ready' : 'Sound not ready', 'Press to try it.', () => ctx.ring.beep()],
      ['wakeLock' in navigator ? 'The screen stays on' : 'Set the screen to stay on by hand', 'While Kettleside is open.'],
      turn('degrees'), turn('masses'),
      ...waiting(ctx.shelf).map(({ say }) => ['A restricted note is still here', say ?? 'It goes to the shop, and then is gone from this phone.']),
      ...record.aside.map(({ seq, say }) => [`Couldn’t file entry ${seq}`, say]),
      ...[...ctx.shelf.carried.values()].filter(({ said }) => said).map(({ device, seq, said }) => [`Couldn’t file entry ${seq} of phone ${device}`, said]),
      [phone.name, `Number ${phone.device}, app ${BUILD}.`],
    ];
  }
  function feet() {
    const keys = [key('Injury or near miss', () => ctx.go('/incident'), 'wide'), key('Back', () => history.back())];
    if (!ctx.updates.ready()) return keys;
    return [...keys, ctx.safe() ? key('Take the newer app', () => ctx.updates.apply(), 'go') : key('A newer app waits for the last cut', () => {})];
  }
  function update() {
    const now = lines(), text = JSON.stringify([now, ctx.updates.ready(), ctx.safe()]);
    if (text === shown) return;
    shown = text;
    at.lead.textContent = 'Sealed, wiped, a metre from flame, off the lane.';
    at.rows.replaceChildren(...now.map(([what, more, press]) => row({ what, more, press })));
    at.feet.replaceChildren(...feet());
  }
  return { root, update, where: () => 'This phone' };
}

/** The office locked this phone out: it neither writes nor shows; what it holds stays on it. */
export function lockedScreen(ctx) {
  const { root, at } = stamp('list');
  const { unsent, carried } = ctx.shelf.status(), held = unsent + carried;
  at.title.textContent = 'This phone is locked out';
  at.lead.textContent = held ? `The office did that. Still on it, safe: ${held}. Let in again, it sends them.` : 'The office did that, and can let it in again. All its entries are at the shop.';
  at.feet.append(key('Ask the shop again', () => ctx.exchange.nudge()));
  return { root, where: () => 'Locked out' };
}

/** The shop has a new address: all of this phone goes to the shop first, then the phone goes on there. */
export function movedScreen(ctx) {
  const { root, at } = stamp('list');
  const { host } = new URL(ctx.shelf.record.moved);
  const go = key(`Go to ${host}`, () => move(), 'go');
  at.title.textContent = 'The shop has a new address';
  at.feet.append(go, key('Not now', () => { ctx.staying = true; ctx.show(); }));
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
    at.lead.textContent = gone ? `This phone is at ${host} now. Open it there.`
      : left ? `${left} still go to the shop first.`
        : 'Everything from this phone is at the shop. Go there, add it to the home screen, start it from there.';
  }
  return { root, update, where: () => 'New address' };
}

/** An old app may send what it holds; it may not begin a boil it could get wrong. */
export function oldAppScreen(ctx, batch) {
  const { root, at } = stamp('list');
  at.title.textContent = 'Too old an app to start a boil';
  at.lead.textContent = 'What is on this phone is kept and sent. Take the newer app, then start; or take another phone.';
  if (ctx.updates.ready()) at.feet.append(key('Take the newer app', () => ctx.updates.apply(), 'go'));
  at.feet.append(key('Back', () => ctx.go(`/b/${batch}`)));
  return { root, batch, where: () => 'Too old an app' };
}

/** The phone can't save, or another tab has the pen: said large, with what to do. */
export function brokenScreen(ctx) {
  const { root, at } = stamp('list');
  const { soleTab } = ctx.shelf.status();
  root.classList.add('broken');
  at.title.textContent = soleTab ? 'This phone can’t save' : 'Open in another tab';
  at.lead.textContent = soleTab ? 'What you pressed is still shown, but not kept. Take another phone, and keep this one open.' : 'Only one tab writes. Close this one, or the other and start again.';
  at.feet.append(key('Try again', () => (soleTab ? ctx.shelf.retry() : location.reload()), 'go'));
  return { root, where: () => 'Can’t save' };
}
