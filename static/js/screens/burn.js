// A burn: the drill at once, with no network. The clock starts when water runs. It never asks who or how bad.

import { key, put, stamp } from './dom.js';

const WATER_MS = 20 * 60000;

export function burnScreen(ctx, batch) {
  const { root, at } = stamp('burn');
  const sheet = ctx.shelf.sheet(batch);
  const open = () => ctx.state(batch).interrupted.findLast(({ cause, ended }) => cause === 'burn' && !ended);
  if (!open()) ctx.write({ batch, kind: 'interrupted', body: { cause: 'burn' } });

  for (const words of sheet.burn.lines) {
    const item = document.createElement('li');
    item.textContent = words;
    at.lines.append(item);
  }
  const { nearest_tap: tap, emergency_number: number, site_address: address } = sheet.shop;
  put(at.where, `Tap: ${tap}. Call ${number}: ${address}`);
  put(at.source, sheet.burn.source);

  const water = () => ctx.write({ batch, kind: 'countdown_started', body: { id: 'burn-water', label: 'Water', deadline: Date.now() + WATER_MS } });
  const end = (how) => {
    const entry = open();
    if (entry) ctx.write({ batch, kind: 'carried_on', body: { target: entry.ref, how } });
    if (running()) ctx.write({ batch, kind: 'countdown_stopped', body: { id: 'burn-water' } });
    ctx.go(`/b/${batch}/${ctx.shelf.phone.station || ''}`);
  };
  const running = () => ctx.state(batch).countdowns.find(({ id }) => id === 'burn-water');
  at.water.addEventListener('click', water);
  at.keys.append(
    key('Mate: flame off, take the boil', () => ctx.write({ batch, kind: 'boil_taken', body: { from: ctx.state(batch).lead.by } })),
    key('False alarm', () => end('false alarm')), key('Over', () => end('carried on')),
  );
  function update() {
    const clock = running();
    const left = clock ? Math.round((clock.deadline - ctx.shelf.now()) / 1000) : WATER_MS / 1000, size = Math.abs(left);
    put(at.clock, `${left < 0 ? '+' : ''}${Math.floor(size / 60)}:${String(size % 60).padStart(2, '0')}`);
    at.water.textContent = clock ? 'Water runs: start again' : 'Water runs';
  }
  return { root, batch, update, where: () => 'Burn' };
}
