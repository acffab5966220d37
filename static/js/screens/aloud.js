// All that a phone gives of itself: ring, voice, flash, a screen that stays on; and what it must not take
// for a press. Brought with the rest of the app, for none of it may hold back a first start.

import { t } from '../record/language.js';
import { heard } from '../record/utterance.js';
import { ask } from './ask.js';
import { Awake } from './awake.js';
import { clock } from './times.js';
import { keepOffGhosts } from './ghosts.js';
import { lookOf } from './guide.js';
import { panel } from './panel.js';
import { keepFromScene, takeUp } from './press.js';
import { Prompts } from './prompts.js';
import { Ring } from './ring.js';

function begin(ctx) {
  ctx.ring = new Ring(ctx);
  ctx.awake = new Awake(() => ctx.shelf.tell());
  ctx.prompts = new Prompts(ctx, ctx.ring);
  ctx.soundBar = () => soundBar(ctx);
  lookOf('aloud');
  keepOffGhosts();
  takeUp(ctx);
  keepFromScene(ctx);
  document.addEventListener('visibilitychange', () => { ctx.shelf.clock.watched = false; });
}

/** The ring, from whoever asks first. */
export function ringOf(ctx) {
  if (!ctx.ring) begin(ctx);
  return ctx.ring;
}

/** A phone that is looked at does not sleep; a laptop may. */
const watches = () => !document.hidden && matchMedia('(pointer: coarse)').matches;

/** Every second: first of all whether somebody set the clock. */
export function soundOut(ctx) {
  const { clock: time } = ctx.shelf;
  if (time.checkJump()) ctx.exchange.nudge();
  time.watched = watches();
  ringOf(ctx).update();
  ctx.prompts.update();
}

const far = [/*t*/'Louder by the phone’s keys. Mute off; headphones and loudspeakers off, or the ring goes there.', /*t*/'Still nothing: take another phone for the kettle, and trust this one’s flash.'];

/** Rings as it would at the kettle, asks, and keeps what was said; null where nobody said. */
export async function askHeard(ctx) {
  const { shelf } = ctx, once = () => ringOf(ctx).once(heard());
  once();
  const yes = await ask(t`Did you hear it?`, t`Where the phone will stand, with the roller running.`, once);
  if (yes !== null) shelf.keepChoice({ heard: { yes, at: Math.round(shelf.now()) } });
  return yes;
}

async function tryIt(ctx) {
  if (await askHeard(ctx) !== false) return;
  panel({ title: t`Not heard`, lead: far.map((words) => t(words)).join(' '), choices: [[t`Once more`, () => tryIt(ctx)]] });
}

export function soundRow(ctx) {
  const { ready } = ringOf(ctx).sound, { heard: last } = ctx.shelf.record;
  const more = last ? (last.yes ? t`Heard ${clock(last.at)}. Press to try it again.` : t`Not heard ${clock(last.at)}. Press to try it again.`) : t`Press to try it.`;
  return [ready ? t`Sound ready` : t`Sound not ready`, ready ? more : t`A browser lets sound out after a press. Press to try it.`, () => tryIt(ctx)];
}

export const awakeRow = (ctx) => { ringOf(ctx); return ctx.awake.words(); };

/** At a station: what this phone can't do just now, in one slim line. */
export function soundBar(ctx) {
  if (!document.querySelector('.station')) return [];
  const words = [...(!ctx.ring.sound.ready ? [t`Sound not ready: touch the screen once`] : []), ...(ctx.awake?.refused ? [t`The screen may go dark`] : [])];
  return words.length && !ctx.ring.still ? [{ id: 'sound', batch: '', className: 'slim-bar', words: words.join('. '), keys: [] }] : [];
}
