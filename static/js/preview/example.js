// An example boil that takes no press: its events, and as much of a phone as a screen asks for.

import { makeBars } from '../screens/bars.js';
import { Context } from '../screens/context.js';
import { makeRail } from '../screens/rail.js';

const MINUTE = 60000, DEVICE = 'examplephone';
const EXCHANGE = { nudge() {}, watch() {}, askOffice() {}, state: () => ({ online: true }) };

/** Steps that come before one: those of its station, what these wait for, and so on. */
function stepsBefore(sheet, wanted) {
  // Set-up is over before anything is lit.
  const [{ steps: setUp }] = sheet.stations, found = new Set(), waiting = [wanted, ...(setUp.includes(wanted) ? [] : setUp.slice(-1))];
  if (waiting[1]) found.add(waiting[1]);
  while (waiting.length) {
    const next = waiting.pop(), { station, after } = sheet.steps[next], { steps } = sheet.stations.find(({ id }) => id === station);
    for (const step of [...steps.slice(0, steps.indexOf(next)), ...after]) if (!found.has(step)) { found.add(step); waiting.push(step); }
  }
  return sheet.order_of_steps.filter((step) => found.has(step));
}

export const event = (sheet, seq, at, more) => ({
  batch: sheet.batch, by: sheet.lead, device: DEVICE, seq, v: 1, recorded: at, offset: 0, bound: 0, happened: at, known: 'pressed', within: 0, hlc: [at, 0], ...more,
});

/** A boil in which just this has been done, a minute each. */
export function eventsUpTo(sheet, wanted, begin) {
  const done = stepsBefore(sheet, wanted);
  return [
    event(sheet, 1, begin, { kind: 'batch_opened', body: { sheet: '', lead: sheet.lead } }),
    ...done.map((step, i) => event(sheet, i + 2, begin + (i + 1) * MINUTE, { kind: 'step_done', station: sheet.steps[step].station, step, body: {} })),
  ];
}

/** As much of a phone as a screen asks for, with nothing behind it. */
function exampleShelf(sheet, events, now) {
  const { batch, lead: by, boil, title, lot } = sheet, book = new Map(events.map((entry) => [`${entry.device}:${entry.seq}`, entry]));
  const record = { by, for: '', batch, station: '', signed: {}, minStart: 0, lockedOut: false, moved: '', toSend: [], aside: [] };
  return {
    record, phone: record, saving: 'ok', soleTab: true, carried: new Map(), clock: { offset: 0 },
    sheet: (id) => (id === batch ? sheet : null), book: () => book, events: () => events, now: () => now, crew: () => [],
    batches: () => [{ id: batch, phase: 'open', title, lot, letter: boil.letter, pattern: boil.pattern }],
    status: () => ({ saving: 'ok', unkept: 0, unsent: 0, carried: 0, aside: 0 }),
    room: async () => null, saveRecord: async () => {}, keepChoice: async () => {}, signedAs: () => '', stageOf: () => 'at the shop', setPhone: () => Promise.resolve(), write: () => ({ event: events[0], kept: Promise.resolve() }),
  };
}

/** What a screen knows, of that boil; `at` [ms]: now, else when the last of it happened. */
export function exampleContext(sheet, events, at = events.at(-1).happened) {
  const ctx = new Context(exampleShelf(sheet, events, at), EXCHANGE, { ready: () => false, keepRest() {} });
  return Object.assign(ctx, { ring: { silent: false, ready: true, sound: { ready: true }, beep() {}, speak() {}, update() {}, lateWords: () => '' }, awake: { refused: '', words: () => ['The screen stays on', ''] }, go() {}, safe: () => false, show() {} });
}

/** When an example begins: as planned. */
export const beginOf = (sheet) => sheet.graph.find(({ name }) => name === 'planned_light_up')?.op[1] ?? Date.now();

/** Lays a screen into the page as the floor does, under its rail and bars. */
export function lay(ctx, screen) {
  const rail = makeRail(ctx), bars = makeBars(ctx);
  document.getElementById('app').append(rail.root, bars.root, screen.root);
  screen.update?.();
  rail.update({ batch: screen.batch, up: screen.up, burning: screen.burning, where: screen.where() });
  bars.update(screen, true);
}
