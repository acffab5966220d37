// An act that needs a name: where this phone bears none, or another's, whose it is is asked first, in one press.

import { panel } from './panel.js';

/** Asks who it is, from now on the presser here, then does it; no PIN, for such an act cannot wait. */
export function askWho(ctx, title, people, done) {
  panel({ title, choices: people.map(({ id, name }) => [name, () => { ctx.shelf.setPhone({ by: id, for: '' }); ctx.show(); done(); }]) });
}

/** Does it at once where somebody is named on this phone. */
export function named(ctx, title, people, done) {
  if (ctx.shelf.phone.by) done(); else askWho(ctx, title, people, done);
}
