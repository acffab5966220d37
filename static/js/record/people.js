// Hands: who has the boil, who works, what was read together, who hands over to whom.

import { at, compareText, refOf } from './order.js';

/** Events that pass the boil on; a glance inside the zone leaves it where it is. */
function leads(live) {
  const full = new Set(live.of('handover_offered').filter((e) => !e.body.glance).map(refOf));
  return live.of('batch_opened', 'boil_taken', 'handover_taken').filter((e) => e.kind !== 'handover_taken' || full.has(e.body.target));
}

const newLead = (event) => (event.kind === 'batch_opened' ? event.body.lead : event.by);

function lead(sheet, live) {
  const last = leads(live).at(-1);
  return last ? { by: newLead(last), since: at(last), ref: refOf(last) } : { by: sheet.lead, since: null, ref: '' };
}

/** Two people took the boil from the same third, neither having seen the other. */
export function twoTook(sheet, live) {
  let holder = sheet.lead, before = '', open = [];
  for (const event of leads(live)) {
    const seen = event.kind === 'boil_taken' ? event.body.from : holder;
    const unseen = seen !== holder && newLead(event) !== holder && before;
    open = unseen ? [{ kind: 'two_took', what: 'lead', refs: [before, refOf(event)] }] : [];
    [holder, before] = [newLead(event), refOf(event)];
  }
  return open;
}

function crew(sheet, live) {
  return live.of('crew_changed').at(-1)?.body.crew ?? sheet.people.filter(({ id }) => sheet.crew.includes(id));
}

function hazards(live) {
  const read = live.of('hazards_read');
  if (!read.length) return null;
  return { people: [...new Set(read.flatMap((e) => e.body.people))].sort(compareText), at: at(read[0]) };
}

/** The newest offer, unless it was taken. */
function offer(live) {
  const newest = live.of('handover_offered').at(-1);
  if (!newest || live.of('handover_taken').some((e) => e.body.target === refOf(newest))) return null;
  const { to, glance } = newest.body;
  return { ref: refOf(newest), by: newest.by, at: at(newest), to, glance };
}

function handovers(live) {
  const offers = new Map(live.of('handover_offered').map((e) => [refOf(e), e]));
  return live.of('handover_taken').filter((e) => offers.has(e.body.target)).map((e) => {
    const offered = offers.get(e.body.target);
    return {
      from: offered.by, to: e.by, offered: at(offered), taken: at(e), glance: offered.body.glance,
      walked: e.body.walked ?? [], questions: e.body.questions,
    };
  });
}

/** Lead, crew, hazards read together, the open offer and the handovers. */
export function hands(sheet, live) {
  return { lead: lead(sheet, live), crew: crew(sheet, live), hazards: hazards(live), offer: offer(live), handovers: handovers(live) };
}
