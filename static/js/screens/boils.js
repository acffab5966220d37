// Today's boils, and the stations of one.

import { t } from '../record/language.js';
import { stationView } from '../record/steps.js';
import { stepOf } from './board.js';
import { isHot } from './context.js';
import { key, row, stamp } from './dom.js';
import { badge, rod, section } from './drawing.js';

/** `Kettle: Skim`: where somebody has begun and not ended. */
function busyWords(sheet, state) {
  const busy = sheet.stations.map(({ id, name }) => [name, stationView(sheet, state, id)]).filter(([, { now, done }]) => now && done);
  return busy.slice(0, 3).map(([name, { now }]) => `${name}: ${stepOf(sheet, now).call}`).join('. ') || t`Not begun`;
}

/** A key to each station of a boil: whoever picks up this phone is at any place in two presses. */
function places(ctx, id) {
  const li = document.createElement('li'), sheet = ctx.sheet(id);
  li.className = 'places';
  li.dataset.pattern = sheet.boil.pattern;
  for (const { id: station, name } of sheet.stations) {
    const button = key(name, () => ctx.go(`/b/${id}/${station}`));
    button.setAttribute('aria-label', t`Boil ${sheet.boil.letter}: ${name}`);
    li.append(button);
  }
  return li;
}

/** Other boils that are hot. */
const hotBeside = (ctx, batch) => ctx.boils().map(({ id }) => id).filter((id) => id !== batch && isHot(ctx.sheet(id), ctx.state(id)));

/** Their stations, under their badge. */
function elsewhere(ctx, id) {
  const li = places(ctx, id);
  li.prepend(badge(ctx.sheet(id).boil));
  return li;
}

export function boilsScreen(ctx) {
  const { root, at } = stamp('list');
  at.title.textContent = t`Today’s boils`;
  let shown = '';
  function boilRow({ id, title, lot }) {
    const sheet = ctx.sheet(id), li = row({ what: title, more: `${lot}. ${busyWords(sheet, ctx.state(id))}`, mark: badge(sheet.boil), end: section(sheet), press: () => ctx.go(`/b/${id}`) });
    li.dataset.pattern = sheet.boil.pattern;
    return li;
  }
  function feet() {
    const keys = [key(t`Who presses?`, () => ctx.go('/people')), key(t`This phone`, () => ctx.go('/phone'))];
    if (ctx.shelf.batches().some(({ phase }) => phase !== 'open')) keys.push(key(t`Earlier boils`, () => ctx.go('/earlier')));
    return ctx.updates.ready() && ctx.safe() ? [...keys, key(t`Take the newer app`, () => ctx.updates.apply(), 'go')] : keys;
  }
  function update() {
    const boils = ctx.boils();
    const now = JSON.stringify([boils.map(({ id, title }) => [id, title, busyWords(ctx.sheet(id), ctx.state(id))]), ctx.updates.ready(), ctx.safe()]);
    if (now === shown) return;
    shown = now;
    at.lead.textContent = boils.length ? ctx.shelf.phone.shop?.name ?? '' : t`No boil is open. The office opens one.`;
    at.lead.hidden = !at.lead.textContent;
    at.rows.replaceChildren(...boils.flatMap((boil) => [boilRow(boil), places(ctx, boil.id)]));
    at.feet.replaceChildren(...feet());
  }
  return { root, update, where: () => t`Today` };
}

/** Boils that ended: the shop gives one back when it is wanted. */
export function earlierScreen(ctx) {
  const { root, at } = stamp('list');
  at.title.textContent = t`Earlier boils`;
  at.feet.append(key(t`Back`, () => ctx.go('/')));
  const open = (id) => ctx.exchange.fetchBatch(id).then(
    () => ctx.go(`/b/${id}/back`),
    () => { at.lead.textContent = t`The shop can’t be reached now. Try again on its Wi-Fi.`; },
  );
  function update() {
    const ended = ctx.shelf.batches().filter(({ phase }) => phase !== 'open').reverse();
    if (at.rows.children.length === ended.length) return;
    at.rows.replaceChildren(...ended.map(({ id, title, lot, letter }) => row({ what: `${letter} ${title}`, more: lot, press: () => open(id) })));
  }
  return { root, update, where: () => t`Earlier boils` };
}

const BESIDE = [[/*t*/'Hand over', 'handover'], [/*t*/'Look back', 'back'], [/*t*/'Cautions', 'cautions']];

/** The stations of a boil, each with what it does now and how far it is. */
export function stationsScreen(ctx, batch) {
  const { root, at } = stamp('list');
  const sheet = ctx.sheet(batch);
  at.title.textContent = sheet.title;
  at.lead.textContent = t`Lot ${sheet.lot}. Where does this phone stand?`;
  let shown = null, besideShown = '';
  function stationRow(state, { id, name }) {
    const { now, done, total, waits_for: waits } = stationView(sheet, state, id);
    const more = now ? `${stepOf(sheet, now).call}${waits.length ? t`, waits` : ''}` : t`All done`;
    return row({ what: name, more, end: rod(sheet.boil, done, total, true), press: () => ctx.go(`/b/${batch}/${id}`) });
  }
  function update() {
    const state = ctx.state(batch), beside = hotBeside(ctx, batch).join();
    if (state === shown && beside === besideShown) return;
    [shown, besideShown] = [state, beside];
    at.rows.replaceChildren(...hotBeside(ctx, batch).map((id) => elsewhere(ctx, id)), ...sheet.stations.map((station) => stationRow(state, station)));
    const owed = state.owed.length, to = (place) => () => ctx.go(`/b/${batch}/${place}`);
    at.feet.replaceChildren(key(owed ? t`Owed ${owed}` : t`Nothing owed`, to('owed')), ...BESIDE.map(([words, place]) => key(t(words), to(place))), key(t`Close the boil`, to('end')));
  }
  return { root, batch, update, where: () => t`Stations` };
}
