// This phone: whether it keeps, rings, stays awake; and what to do when it can't.

import { t } from '../record/language.js';
import { waiting } from '../store/incidents.js';
import { BUILD } from '../sync/condition.js';
import { awakeRow, soundRow } from './aloud.js';
import { key, row, stamp } from './dom.js';
import { onWall, takeDown } from './hang.js';
import { lightRow } from './light.js';
import { panel } from './panel.js';
import { buttonRow } from './press.js';
import { PACE } from './scan.js';
import { readyWords } from './readiness.js';
import { appRows } from './shut.js';
import { stepperPanel } from './stepper.js';

const UNITS = { degrees: [['', '°C'], ['degF', '°F']], masses: [['', /*t*/'kg and g'], ['lb', 'lb']] };

function keeping({ installed, persisted, unsent, carried }, { online, refused }) {
  return [
    [unsent ? t`${unsent} only on this phone` : t`Everything is at the shop`, refused ? refused.say : online ? t`The shop answers.` : t`The shop can’t be reached now; nothing is lost.`],
    ...(carried ? [[t`Carries entries of other phones: ${carried}`, t`They stay until the shop has named them.`]] : []),
    ...appRows({ installed }),
    [persisted ? t`The browser promises to keep its data` : t`The browser makes no promise to keep its data`, t`Asked when the phone was added.`],
  ];
}

/** From phone to phone where there is no network. */
const carryRows = (ctx, { unsent, carried }) => [
  [t`Hand my entries to another phone`, unsent + carried ? t`Not at the shop yet: ${unsent + carried}. In one file, without photos.` : t`All are at the shop; another phone may still lack them. In one file, without photos.`, () => import('./carry.js').then(({ handEntries }) => handEntries(ctx))],
  [t`Carry another phone’s entries`, t`Takes such a file, shows it here, and brings it to the shop.`, () => import('./carry.js').then(({ carryEntries }) => carryEntries(ctx))],
];

/** A frame that moves by itself, for whoever has one key; somebody with hands turns it on once. */
function scanRow({ shelf }) {
  const { scan = 0 } = shelf.record, turn = (seconds) => shelf.setPhone({ scan: seconds });
  const pace = () => stepperPanel({ title: t`Seconds on each key`, start: scan || PACE.start, low: PACE.low, high: PACE.high, unit: 's', word: t`Go on so`, done: turn });
  const choose = () => panel({ title: t`One key for everything`, choices: [[t`Another pace`, pace], [t`Off`, () => turn(0)]] });
  return [scan ? t`One key: ${scan} s on each` : t`One key for everything: off`, t`A frame goes from key to key, a press chooses.`, scan ? choose : pace];
}

/** A device for the whole crew to look at. */
const wallRow = (ctx) => [onWall(ctx) ? t`Take it off the wall` : t`Hang it on the wall`, t`Then it shows the whole crew’s next actions, and writes nothing.`, () => (onWall(ctx) ? takeDown(ctx) : ctx.go('/wall'))];

const megabytes = (bytes) => Math.round(bytes / 1e6);

export function phoneScreen(ctx) {
  const { root, at } = stamp('list');
  at.title.textContent = t`This phone`;
  let shown = '', room = null;
  ctx.shelf.room().then((found) => { room = found; update(); });

  function turn(name) {
    const choices = UNITS[name], now = choices.findIndex(([value]) => value === (ctx.shelf.record[name] ?? ''));
    return [name === 'degrees' ? t`Degrees in ${choices[now][1]}` : t`Masses in ${t(choices[now][1])}`, t`Press for ${t(choices[1 - now][1])}.`, () => ctx.shelf.setPhone({ [name]: choices[1 - now][0] })];
  }
  function lines() {
    const { phone, record } = ctx.shelf, [kept, ...others] = keeping(ctx.shelf.status(), ctx.exchange.state());
    return [
      kept, [...readyWords(ctx.shelf), () => ctx.go('/ready')], ...carryRows(ctx, ctx.shelf.status()), ...others,
      ...(room ? [[t`${megabytes(room.usage)} of ${megabytes(room.quota)} MB used`, t`What the browser allows Kettleside on this phone.`]] : []),
      soundRow(ctx), awakeRow(ctx), buttonRow(ctx),
      turn('degrees'), turn('masses'), lightRow(ctx), scanRow(ctx), wallRow(ctx),
      ...waiting(ctx.shelf).map(({ say }) => [t`A restricted note is still here`, say ?? t`It goes to the shop, and then is gone from this phone.`]),
      ...record.aside.map(({ seq, say }) => [t`Couldn’t file entry ${seq}`, say]),
      ...[...ctx.shelf.carried.values()].filter(({ said }) => said).map(({ device, seq, said }) => [t`Couldn’t file entry ${seq} of phone ${device}`, said]),
      [phone.name, t`Number ${phone.device}, app ${BUILD}.`],
    ];
  }
  function feet() {
    const keys = [key(t`How to work with it`, () => ctx.go('/guide'), 'wide'), key(t`Injury or near miss`, () => ctx.go('/incident'), 'wide'), key(t`Back`, () => history.back())];
    if (!ctx.updates.ready()) return keys;
    return [...keys, ctx.safe() ? key(t`Take the newer app`, () => ctx.updates.apply(), 'go') : key(t`A newer app waits for the last cut`, () => {})];
  }
  function update() {
    const now = lines(), text = JSON.stringify([now, ctx.updates.ready(), ctx.safe()]);
    if (text === shown) return;
    shown = text;
    at.lead.textContent = t`Sealed, wiped, a metre from flame, off the lane.`;
    at.rows.replaceChildren(...now.map(([what, more, press]) => row({ what, more, press })));
    at.feet.replaceChildren(...feet());
  }
  return { root, update, where: () => t`This phone` };
}
