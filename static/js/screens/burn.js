// A burn: the drill at once, with no network. The clock starts when water runs. It never asks who or how bad.

import { t } from '../record/language.js';
import { openBurn } from './context.js';
import { item, key, put, stamp } from './dom.js';
import { badge } from './drawing.js';
import { onPress } from './keys.js';
import { minutesSeconds, secondsLeft } from './times.js';

const WATER_MS = 20 * 60000, WATER = 'burn-water';

export function burnScreen(ctx, batch) {
  const { root, at } = stamp('burn');
  const sheet = ctx.sheet(batch), { nearest_tap: tap, emergency_number: number, site_address: address } = sheet.shop;
  at.lines.append(...sheet.burn.lines.map((words) => item(words)));
  at.plate.append(badge(sheet.boil));
  put(at.where, t`Tap: ${tap}. Call ${number}: ${address}`);
  put(at.source, sheet.burn.source);

  const running = () => ctx.state(batch).countdowns.find(({ id }) => id === WATER);
  const water = () => ctx.write({ batch, kind: 'countdown_started', body: { id: WATER, label: 'Water', deadline: Date.now() + WATER_MS } });
  function end(how) {
    const entry = openBurn(ctx.state(batch));
    if (entry) ctx.write({ batch, kind: 'carried_on', body: { target: entry.ref, how } });
    if (running()) ctx.write({ batch, kind: 'countdown_stopped', body: { id: WATER } });
    ctx.go(`/b/${batch}/${ctx.shelf.phone.station || ''}`);
  }
  onPress(at.water, water);
  at.keys.append(key(t`False alarm`, () => end('false alarm')), key(t`Carried on`, () => end('carried on')));

  function update() {
    const clock = running();
    put(at.clock, minutesSeconds(clock ? secondsLeft(clock.deadline, ctx.shelf.now()) : WATER_MS / 1000));
    put(at.finishWord, clock ? t`Start again` : t`Water runs`);
  }
  return { root, batch, update, up: `/b/${batch}/${ctx.shelf.phone.station || ''}`, burning: true, where: () => t`Burn`, focus: () => at.board.focus({ preventScroll: true }) };
}
