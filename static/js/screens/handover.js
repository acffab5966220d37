// Handing the boil over: the whole card, or the glance card inside the zone; offered, walked by both,
// asked about, then taken.

import { t } from '../record/language.js';
import { card, glance, spots } from '../record/handover.js';
import { may } from '../record/may.js';
import { fourLines, tenParts } from './card.js';
import { item, key, put, stamp, toggle } from './dom.js';
import { named } from './named.js';
import { panel } from './panel.js';
import { askSpots } from './spots.js';

function part([title, lines]) {
  const { root, at } = stamp('part');
  at.title.textContent = title;
  at.lines.append(...(lines.length ? lines : [{ words: t`Nothing` }]).map(({ words, stale }) => item(stale ? t`Old: ${words}` : words, stale ? 'stale' : '')));
  return root;
}

export function handoverScreen(ctx, batch) {
  const { root, at } = stamp('card');
  const sheet = ctx.sheet(batch), walked = new Set();
  const others = () => ctx.people(sheet).filter(({ id }) => id !== me());
  const me = () => ctx.shelf.record.for || ctx.shelf.phone.by, name = (id) => ctx.name(sheet, id);
  const places = () => sheet.walk.filter((place) => walked.has(place));
  let shown = '', acts = '', right = 0;

  const offer = (to, short) => ctx.write({ batch, kind: 'handover_offered', body: { to, glance: short } });
  const take = (target, questions) => ctx.write({ batch, kind: 'handover_taken', body: { target, questions, walked: places(), ...(right && { right }) } });
  const takeBoil = (from) => named(ctx, t`Who takes the boil?`, others(), () => ctx.write({ batch, kind: 'boil_taken', body: { from } }));
  function walk(target) {
    if (!walked.size) { panel({ title: t`Walk first`, lead: t`Press each place as you pass it.` }); return; }
    ctx.write({ batch, kind: 'walk_stamped', body: { target, places: places() } });
    walked.clear();
  }

  /** Whoever may have the boil stands first; the others are not kept from it. */
  function toWhom(short) {
    const able = ({ id }) => may(sheet, id, 'have_boil');
    const choices = [...others().filter(able), ...others().filter((person) => !able(person))].map((person) => [person.name + (short || able(person) ? '' : `, ${person.role}`), () => offer(person.id, short)]);
    panel({ title: short ? t`Who shadows?` : t`To whom?`, choices });
  }
  const questions = (ref) => panel({
    title: t`Questions?`, lead: t`Walked: ${places().map(t).join(', ') || t`nothing yet`}.`,
    choices: [[t`No questions, said by ${name(me())}`, () => take(ref, `No questions, said by ${name(me())}`), 'go wide']],
    typed: { label: t`Asked and answered`, done: (text) => take(ref, text) },
  });
  const spot = () => askSpots(ctx, sheet, () => { const state = ctx.state(batch); return [state, spots(card(sheet, state, ctx.shelf.now()))]; }, (n) => { right = n; });
  const toggles = () => sheet.walk.map((place) => toggle(t(place), walked.has(place), (on) => { on ? walked.add(place) : walked.delete(place); }));

  /** What the two do with an open offer: both walk, the incoming one asks and takes. */
  function offered({ ref, to, by, glance: short, walks }) {
    if (to === me()) return [...toggles(), key(t`Spot questions`, spot, 'wide'), key(short ? t`I shadow from here` : t`I take over`, () => questions(ref), 'go wide')];
    const stamped = walks.some((entry) => entry.by === me());
    const own = by === me() && !stamped ? [...toggles(), key(t`I walked them too`, () => walk(ref), 'wide')] : [];
    return [...own, key(t`Offered to ${name(to)}`, () => toWhom(short), 'wide')];
  }
  /** Only who has the boil hands it over; anybody but a newcomer shows the card to one. */
  function begin({ lead, shadows }, short) {
    if (short) return shadows.includes(me()) ? [] : [key(t`Show the newcomer`, () => named(ctx, t`Who shows it?`, others(), () => toWhom(short)), 'go wide')];
    return me() && lead.by !== me() ? [] : [key(t`Hand over`, () => named(ctx, t`Who hands over?`, others(), () => toWhom(short)), 'go wide')];
  }
  function feet(state, short) {
    const { offer: open, lead } = state, main = open ? offered(open) : begin(state, short);
    const taking = lead.by === me() ? [] : [key(t`Take the boil`, () => takeBoil(lead.by))];
    return [...main, ...taking, key(t`Back`, () => ctx.go(`/b/${batch}/${ctx.shelf.phone.station || ''}`))];
  }

  function update() {
    const state = ctx.state(batch), now = ctx.shelf.now(), whole = card(sheet, state, now), short = whole.in_zone;
    const parts = short ? fourLines(ctx, sheet, glance(sheet, state, now), me()) : tenParts(ctx, sheet, state, whole);
    const text = JSON.stringify(parts), wanted = JSON.stringify([state.offer, state.lead, state.shadows, me(), short]);
    if (text !== shown) at.parts.replaceChildren(...parts.map(part));
    shown = text;
    // What a finger may be on stays while lines above it change.
    if (wanted === acts) return;
    acts = wanted;
    put(at.title, short ? t`Glance card` : t`Handover`);
    root.classList.toggle('glance', Boolean(short));
    at.feet.replaceChildren(...feet(state, short));
  }
  return { root, batch, update, up: `/b/${batch}`, where: () => t`Hand over` };
}
