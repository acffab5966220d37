// Passing the boil on: the offer, the walk of both, what was asked, and who only shadows.

import { actor, at, refOf } from './order.js';

const offers = (live) => live.of('handover_offered');

/** The opening, then what passes the boil on; a glance inside the zone leaves it where it is. The
 * opening stands first, whatever a clock says: nobody can take a boil that is not open. A press that
 * names nobody leaves the boil where it is: it always has one name. */
export function passesOn(live) {
  const full = new Set(offers(live).filter((e) => !e.body.glance).map(refOf));
  const taken = live.of('boil_taken', 'handover_taken').filter((e) => actor(e) && (e.kind === 'boil_taken' || full.has(e.body.target)));
  return [...live.of('batch_opened').slice(0, 1), ...taken];
}

/** Who walked past what for this offer, and when. */
const walks = (live, ref) => live.of('walk_stamped').filter(({ body }) => body.target === ref).map((e) => ({ by: actor(e), at: at(e), places: e.body.places }));

/** The newest offer, unless it was taken, and who has walked for it. */
export function offer(live) {
  const newest = offers(live).at(-1), taken = live.of('handover_taken');
  if (!newest || taken.some((e) => e.body.target === refOf(newest))) return null;
  const { to, glance } = newest.body, ref = refOf(newest);
  return { ref, by: actor(newest), at: at(newest), to, glance, walks: walks(live, ref) };
}

/** Every handover that was taken: both names, both walks, what was said. */
export function handovers(live) {
  const offered = new Map(offers(live).map((e) => [refOf(e), e]));
  return live.of('handover_taken').filter((e) => offered.has(e.body.target)).map((e) => {
    const { target, walked = [], questions, right = 0 } = e.body, given = offered.get(target);
    return { from: actor(given), to: actor(e), offered: at(given), taken: at(e), glance: given.body.glance, walked, walks: walks(live, target), questions, right };
  });
}

/** Who took the glance card and has not had the boil since: they look on. */
export function shadows(live) {
  const glances = new Set(offers(live).filter((e) => e.body.glance).map(refOf));
  let looking = [];
  for (const e of live.of('handover_taken', 'boil_taken')) {
    const who = actor(e), glance = e.kind === 'handover_taken' && glances.has(e.body.target);
    looking = [...looking.filter((person) => person !== who), ...(glance ? [who] : [])];
  }
  return looking;
}
