// The screens beside the stations: adding, people, boils, the phone, and what a boil has besides its work.

import { addScreen } from './add.js';
import { backScreen } from './back.js';
import { boilsScreen, earlierScreen, stationsScreen } from './boils.js';
import { burnScreen } from './burn.js';
import { cautionsScreen } from './cautions.js';
import { isShut } from './context.js';
import { endScreen } from './end.js';
import { handoverScreen } from './handover.js';
import { incidentScreen } from './incident.js';
import { owedScreen } from './owed.js';
import { peopleScreen } from './people.js';
import { brokenScreen, lockedScreen, movedScreen, oldAppScreen, phoneScreen } from './phone.js';
import { Silence } from './silence.js';

const PAGES = { back: backScreen, burn: burnScreen, cautions: cautionsScreen, end: endScreen, handover: handoverScreen, owed: owedScreen };

/** Who is missed beside the boils that are hot. */
export const watchFor = (ctx) => new Silence(ctx);

/** The screen that an address asks for, given what this phone still lacks. */
export function pageFor(ctx, [kind, batch, place]) {
  const { shelf } = ctx;
  if (shelf.saving === 'failing' || !shelf.soleTab) return brokenScreen(ctx);
  if (!shelf.phone) return addScreen(ctx);
  if (isShut(ctx)) return lockedScreen(ctx);
  if (shelf.record.moved && !ctx.staying && ctx.safe() && kind !== 'b') return movedScreen(ctx);
  if (kind === 'phone') return phoneScreen(ctx);
  if (kind === 'incident') return incidentScreen(ctx);
  if (kind === 'people') return peopleScreen(ctx);
  if (kind === 'earlier') return earlierScreen(ctx);
  if (kind !== 'b' || !shelf.sheet(batch)) return boilsScreen(ctx);
  if (!place) return stationsScreen(ctx, batch);
  return PAGES[place]?.(ctx, batch) ?? oldAppScreen(ctx, batch);
}
