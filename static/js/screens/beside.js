// What a boil has besides its work, and who is missed: brought when the first screen stands.

import { soundOut } from './aloud.js';
import { Attend } from './attend.js';
import { backScreen } from './back.js';
import { cautionsScreen } from './cautions.js';
import './dress.js';
import { endScreen } from './end.js';
import { guideScreen, lookOf } from './guide.js';
import { hang } from './hang.js';
import { handoverScreen } from './handover.js';
import { incidentScreen } from './incident.js';
import { owedScreen } from './owed.js';
import { phoneScreen } from './phone.js';
import { Scan } from './scan.js';
import { Silence } from './silence.js';

let wall = null, ready = null;

const PAGES = { back: backScreen, cautions: cautionsScreen, end: endScreen, handover: handoverScreen, owed: owedScreen };

/** What no press waits for: who is missed while a boil is hot; what is said; the frame of one key; what hangs on the wall. */
export function everySecond(ctx, hot) {
  if (hot) ctx.silence ??= new Silence(ctx);
  ctx.silence?.update(hot);
  ctx.attend ??= attend(ctx);
  if (ctx.shelf.record.scan) ctx.scan ??= new Scan(ctx);
  ctx.scan?.update();
  hang(ctx);
  soundOut(ctx);
}

/** Its style first: what is only heard is not seen. */
async function attend(ctx) {
  await lookOf('attend');
  return new Attend(ctx);
}

const ALONE = { guide: guideScreen, incident: incidentScreen, phone: phoneScreen, ready: readyFor, wall: wallFor };

/** A page that is no part of any boil; `page`: of the guide. */
export const aloneFor = (ctx, kind, page) => ALONE[kind](ctx, page);

/** The wall, which most phones never show: with its own look, when both are here. */
function wallFor(ctx) {
  if (wall) return wall.wallScreen(ctx);
  const bring = async () => { [wall] = await Promise.all([import('./wall.js'), lookOf('wall')]); };
  return { root: document.createElement('div'), where: () => '', coming: bring };
}

/** Whether this phone is ready: asked for once in its life, and now and then. */
function readyFor(ctx) {
  if (ready) return ready.readyScreen(ctx);
  return { root: document.createElement('div'), where: () => '', coming: async () => { ready = await import('./ready.js'); } };
}

/** A place of a boil that is no station; null if there is none of that name. */
export const placeFor = (ctx, batch, place) => PAGES[place]?.(ctx, batch) ?? null;
