// Today's boils, and the stations of one.

import { stationView } from '../record/steps.js';
import { badge, key, row, stamp } from './dom.js';

const PHASES = { planned: 'planned', open: 'on the floor', closed: 'closed', given_up: 'given up' };

export function boilsScreen(ctx) {
  const { root, at } = stamp('list');
  at.title.textContent = 'Boils';
  let shown = '';
  function update() {
    const boils = ctx.shelf.batches().filter(({ id, phase }) => ctx.shelf.sheet(id) && phase === 'open');
    const lead = boils.length ? `${ctx.shelf.phone.shop?.name ?? ''}` : 'No boil is open. The office opens one.';
    const now = JSON.stringify([boils, lead, ctx.updates.ready()]);
    if (now === shown) return;
    shown = now;
    at.lead.textContent = lead;
    at.rows.replaceChildren(...boils.map((boil) => row({
      what: boil.title, more: `Lot ${boil.lot}, ${PHASES[ctx.state(boil.id).phase]}`, mark: badge(boil), press: () => ctx.go(`/b/${boil.id}`),
    })));
    const feet = [key('Who are you?', () => ctx.go('/people')), key('This phone', () => ctx.go('/phone'))];
    if (ctx.updates.ready()) feet.push(key('Take the newer app', () => ctx.updates.apply(), 'go'));
    at.feet.replaceChildren(...feet);
  }
  return { root, update, where: () => 'Today' };
}

/** The stations of a boil, each with what it does now. */
export function stationsScreen(ctx, batch) {
  const { root, at } = stamp('list');
  const sheet = ctx.shelf.sheet(batch);
  at.title.textContent = sheet.title;
  let shown = null;
  function update() {
    const state = ctx.state(batch);
    if (state === shown) return;
    shown = state;
    at.lead.textContent = `Lot ${sheet.lot}. Choose the station this phone stands at.`;
    at.rows.replaceChildren(...sheet.stations.map((station) => {
      const view = stationView(sheet, state, station.id);
      const now = view.now ? sheet.steps[view.now.split('#')[0]].say : 'Nothing left';
      return row({ what: station.name, more: `${now} · ${view.done} of ${view.total}`, press: () => ctx.go(`/b/${batch}/${station.id}`) });
    }));
    at.feet.replaceChildren(
      key(`Owed (${state.owed.length})`, () => ctx.go(`/b/${batch}/owed`)), key('Hand over', () => ctx.go(`/b/${batch}/handover`)),
      key('Look back', () => ctx.go(`/b/${batch}/back`)), key('Cautions', () => ctx.go(`/b/${batch}/cautions`)), key('Burn', () => ctx.go(`/b/${batch}/burn`), 'burn-key'),
    );
  }
  return { root, batch, update, where: () => 'Stations' };
}
