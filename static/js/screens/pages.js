// The screens a phone opens on: adding, people, boils, the phone, a burn. What else a boil has is `beside`.

import { addScreen } from './add.js';
import { boilsScreen, earlierScreen, stationsScreen } from './boils.js';
import { burnScreen } from './burn.js';
import { isShut } from './context.js';
import { peopleScreen } from './people.js';
import { brokenScreen, lockedScreen, movedScreen, oldAppScreen } from './shut.js';

const ALONE = ['guide', 'incident', 'phone', 'ready', 'wall'];

/** The screen that an address asks for, given what this phone still lacks; null while `beside` is needed and not here. */
export function pageFor(ctx, [kind, batch, place], beside) {
  const { shelf } = ctx;
  if (shelf.saving === 'failing' || !shelf.soleTab) return brokenScreen(ctx);
  if (!shelf.phone) return addScreen(ctx);
  if (isShut(ctx)) return lockedScreen(ctx);
  if (shelf.record.moved && !ctx.staying && ctx.safe() && kind !== 'b') return movedScreen(ctx);
  if (ALONE.includes(kind)) return beside && beside.aloneFor(ctx, kind, batch);
  if (kind === 'people') return peopleScreen(ctx);
  if (kind === 'earlier') return earlierScreen(ctx);
  if (kind !== 'b' || !shelf.sheet(batch)) return boilsScreen(ctx);
  if (!place) return stationsScreen(ctx, batch);
  if (place === 'burn') return burnScreen(ctx, batch);
  return beside && (beside.placeFor(ctx, batch, place) ?? oldAppScreen(ctx, batch));
}
