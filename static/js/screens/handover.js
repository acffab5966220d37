// Handing the boil over: the whole card, or the glance card inside the zone; offered, then taken.

import { card, glance } from '../record/handover.js';
import { fourLines, tenParts } from './card.js';
import { item, key, stamp, toggle } from './dom.js';
import { panel } from './panel.js';

function part([title, lines]) {
  const { root, at } = stamp('part');
  at.title.textContent = title;
  at.lines.append(...(lines.length ? lines : ['Nothing']).map((line) => (typeof line === 'string' ? item(line) : item(line.stale ? `${line.words}: old, read again` : line.words, line.stale ? 'stale' : ''))));
  return root;
}

export function handoverScreen(ctx, batch) {
  const { root, at } = stamp('card');
  const sheet = ctx.shelf.sheet(batch), walked = new Set();
  const me = () => ctx.shelf.phone.by;
  let shown = '';

  const offer = (to, short) => ctx.write({ batch, kind: 'handover_offered', body: { to, glance: short } });
  const take = (ref, questions) => ctx.write({ batch, kind: 'handover_taken', body: { target: ref, questions, walked: sheet.walk.filter((place) => walked.has(place)) } });
  const takeBoil = (from) => ctx.write({ batch, kind: 'boil_taken', body: { from } });
  const toWhom = (short) => panel({ title: short ? 'Who shadows?' : 'To whom?', choices: sheet.people.filter(({ id }) => id !== me()).map(({ id, name }) => [name, () => offer(id, short)]) });
  const questions = (ref) => panel({
    title: 'Questions?', lead: `Walked: ${sheet.walk.filter((place) => walked.has(place)).join(', ') || 'nothing yet'}.`,
    choices: [['No questions', () => take(ref, 'No questions'), 'go']], typed: { label: 'Asked and answered', done: (text) => take(ref, text) },
  });

  function feet({ offer: offered, lead }, short) {
    const own = offered?.to === me();
    const places = own ? sheet.walk.map((place) => toggle(place, walked.has(place), (on) => { on ? walked.add(place) : walked.delete(place); })) : [];
    const main = own ? key(offered.glance ? 'I shadow from here' : 'I take over', () => questions(offered.ref), 'go wide')
      : key(offered ? `Offered to ${ctx.name(sheet, offered.to)}` : short ? 'Show the newcomer' : 'Hand over', () => toWhom(short), 'go wide');
    const taking = lead.by === me() ? [] : [key('Take the boil', () => takeBoil(lead.by))];
    return [...places, main, ...taking, key('Back', () => ctx.go(`/b/${batch}/${ctx.shelf.phone.station || ''}`))];
  }

  function update() {
    const state = ctx.state(batch), now = ctx.shelf.now(), whole = card(sheet, state, now), short = whole.in_zone;
    const parts = short ? fourLines(ctx, sheet, glance(sheet, state, now)) : tenParts(ctx, sheet, whole);
    const text = JSON.stringify([parts, state.offer, state.lead, me()]);
    if (text === shown) return;
    shown = text;
    at.title.textContent = short ? 'Glance card' : 'Handover';
    root.classList.toggle('glance', Boolean(short));
    at.parts.replaceChildren(...parts.map(part));
    at.feet.replaceChildren(...feet(state, short));
  }
  return { root, batch, update, up: `/b/${batch}`, where: () => 'Hand over' };
}
