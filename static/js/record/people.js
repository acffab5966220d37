// Hands: who has the boil, who works, who stands beside or in, what was read together.

import { actor, at, byKey, compareText, refOf } from './order.js';
import { handovers, offer, passesOn, shadows } from './passing.js';

const newLead = (event) => (event.kind === 'batch_opened' ? event.body.lead : actor(event));

/** When this person first said that they have seen the entry. */
function seen(live, ref, who) {
  const moments = live.of('seen').filter((e) => e.body.target === ref && actor(e) === who).map(at);
  return moments.length ? Math.min(...moments) : null;
}

/** Who has the boil: always exactly one name; from whom, and whether they have seen it. */
function lead(sheet, live) {
  let holder = { by: sheet.lead, from: '', since: null, ref: '' };
  for (const e of passesOn(live)) holder = { by: newLead(e), from: e.kind === 'batch_opened' ? '' : holder.by, since: at(e), ref: refOf(e) };
  return { ...holder, seen: seen(live, holder.ref, holder.from) };
}

/** Two people took the boil from the same third, neither having seen the other. */
export function twoTook(sheet, live) {
  let holder = sheet.lead, before = '', open = [];
  for (const event of passesOn(live)) {
    const from = event.kind === 'boil_taken' ? event.body.from : holder;
    const unseen = from !== holder && newLead(event) !== holder && before;
    open = unseen ? [{ kind: 'two_took', what: 'lead', refs: [before, refOf(event)] }] : [];
    [holder, before] = [newLead(event), refOf(event)];
  }
  return open;
}

function crew(sheet, live) {
  return live.of('crew_changed').at(-1)?.body.crew ?? sheet.people.filter(({ id }) => sheet.crew.includes(id));
}

const beside = (e) => ({ by: actor(e), skill: e.body.skill, who: e.body.who, at: at(e), station: e.station ?? '' });

/** Station → who last said that they look after it, and when. */
function stoodIn(live) {
  const found = new Map(live.of('stood_in').map((e) => [e.station ?? '', { by: actor(e), at: at(e) }]));
  return Object.fromEntries(byKey(found));
}

function hazards(live) {
  const read = live.of('hazards_read');
  if (!read.length) return null;
  return { people: [...new Set(read.flatMap((e) => e.body.people))].sort(compareText), at: at(read[0]) };
}

/** Lead, crew, who helps whom, hazards read together, the open offer and the handovers. */
export function hands(sheet, live) {
  return {
    lead: lead(sheet, live), crew: crew(sheet, live), shadows: shadows(live), beside: live.of('stands_beside').map(beside), stood_in: stoodIn(live),
    hazards: hazards(live), offer: offer(live), handovers: handovers(live),
  };
}
