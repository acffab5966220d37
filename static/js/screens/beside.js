// What a boil has besides its work, and who is missed: brought when the first screen stands.

import { backScreen } from './back.js';
import { cautionsScreen } from './cautions.js';
import { endScreen } from './end.js';
import { handoverScreen } from './handover.js';
import { incidentScreen } from './incident.js';
import { owedScreen } from './owed.js';
import { Silence } from './silence.js';

const PAGES = { back: backScreen, cautions: cautionsScreen, end: endScreen, handover: handoverScreen, owed: owedScreen };

/** Who is missed beside the boils that are hot. */
export const watchFor = (ctx) => new Silence(ctx);

/** The note that is no part of any boil. */
export const noteFor = (ctx) => incidentScreen(ctx);

/** A place of a boil that is no station; null if there is none of that name. */
export const placeFor = (ctx, batch, place) => PAGES[place]?.(ctx, batch) ?? null;
