// What a phone at the kettle must do, tried on this phone. Each try ends in one of three ways, a sentence,
// and what to do instead where there is something.

import { t } from '../record/language.js';
import { promised, writesBack } from '../store/proof.js';
import { keptFiles } from '../sync/kept.js';
import { askHeard, ringOf } from './aloud.js';
import { ask } from './ask.js';
import { shrunk } from './files.js';
import { NEEDED } from './readiness.js';
import { listen, refusal, soundKind } from './soundnote.js';
import { staysDark } from './system.js';

const HELD_MS = 5000, LISTEN_MS = 800, UNLOCK_MS = 300, MEGABYTE = 1e6;
// Two weeks without a network with a hundred photos a day would want this much.
const ROOM_MB = 500;

const works = (say) => ({ end: 'works', say });
const fails = (say) => ({ end: 'fails', say });
const cannot = (say) => ({ end: 'cannot', say });
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

const home = async (ctx, system) => (system.home ? works(t`Started from its icon.`) : fails(t`It runs in a browser’s tab: its data may vanish. Do the steps above.`));

/** Every file, the boils' sheets, and a write that is read back. What a phone just added still lacks is waited
 * for; else the network is not asked. */
async function offline({ shelf, updates }) {
  await updates.keepRest();
  const { files, lacking } = await keptFiles();
  if (lacking.length) return fails(files ? t`${lacking.length} of ${files} files are missing or broken. Press ‘Fetch the app again’ where the shop can be reached.` : t`The app is not kept here yet. Press ‘Fetch the app again’ where the shop can be reached.`);
  const without = shelf.batches().filter(({ id, phase }) => phase === 'open' && !shelf.sheet(id)).length;
  if (without) return fails(t`The app is here, but not all boils: ${without} missing. Let it reach the shop once.`);
  if (!await writesBack(shelf.database)) return fails(t`What was written was not read back. Take another phone.`);
  return works(t`All ${files} files of the app are on this phone, and what it writes is read back.`);
}

async function kept() {
  const found = await promised();
  if (found === null) return cannot(t`Its browser knows no such promise. Open it once a week.`);
  return found ? works(t`The browser promises to keep the data.`) : fails(t`The browser makes no promise yet. From the home screen it usually does; until then send everything each evening.`);
}

async function room({ shelf }) {
  const found = await shelf.room();
  if (!found?.quota) return cannot(t`Its browser does not say. Look in the phone’s settings.`);
  const free = Math.round((found.quota - found.usage) / MEGABYTE);
  return free < ROOM_MB ? fails(t`Only ${free} MB are free. Remove films or apps.`) : works(t`${free} MB are free.`);
}

async function awake(ctx, system) {
  if (!navigator.wakeLock) return cannot(t`Its browser can’t. Set it by hand, as above.`);
  if (staysDark(system)) return cannot(t`Before version 18.4 an app on the home screen goes dark. Set it by hand, as above, or bring the phone up to date.`);
  let lock;
  try { lock = await navigator.wakeLock.request('screen'); } catch ({ message }) { return fails(t`The browser refused: ${message}. Battery saving off, then try again.`); }
  let gone = false;
  lock.addEventListener('release', () => { gone = true; });
  await pause(HELD_MS);
  if (gone || lock.released) return fails(t`The hold was taken away again within ${HELD_MS / 1000} s. Keep Kettleside in front and try again; else set it by hand, as above.`);
  lock.release().catch(() => {});
  return works(t`Held for ${HELD_MS / 1000} s, while Kettleside is in front.`);
}

async function ring(ctx) {
  const bell = ringOf(ctx);
  bell.unlock();
  await pause(UNLOCK_MS);
  if (!bell.ready) return fails(t`The browser lets out no sound yet. Press the screen once, then try again.`);
  const yes = await askHeard(ctx);
  if (yes === null) return fails(t`It rang; nobody said whether it was heard.`);
  return yes ? works(t`Heard.`) : fails(t`It rang and was not heard: mute off, volume up, as above.`);
}

async function shake() {
  if (!navigator.vibrate) return cannot(t`Its browser can’t; no iPhone’s can. Trust your ears and the screen.`);
  const once = () => navigator.vibrate(400);
  if (!once()) return fails(t`The browser refused. Press the screen once, then try again.`);
  const felt = await ask(t`Did you feel it?`, t`Hold the phone.`, once);
  return felt ? works(t`Felt.`) : fails(t`Not felt. Turn vibration on in the phone’s settings, or trust your ears and the screen.`);
}

const hasCamera = async () => (await navigator.mediaDevices?.enumerateDevices?.().catch(() => []) ?? []).some(({ kind }) => kind === 'videoinput');

/** A picture through the same way as a photo: read, made smaller, written. */
async function photo() {
  const opens = 'capture' in document.createElement('input');
  if (!opens && !await hasCamera()) return cannot(t`There is no camera. Take photos with another phone.`);
  const canvas = Object.assign(document.createElement('canvas'), { width: 64, height: 48 });
  canvas.getContext('2d');
  const drawn = await new Promise((done) => canvas.toBlob(done)), small = await shrunk(drawn, 32, 800000);
  if (small.type !== 'image/jpeg') return fails(t`Its browser writes no JPEG. Take photos with another phone.`);
  return works(opens ? t`One press opens the camera.` : t`There is a camera; the browser asks for a file first.`);
}

async function sound() {
  if (!soundKind()) return cannot(t`Its browser writes no sound. Type notes instead.`);
  try {
    const { ended, stop } = await listen();
    setTimeout(stop, LISTEN_MS);
    const { size } = await ended;
    return size ? works(t`It hears and writes.`) : fails(t`It gave no sound. Another app may hold it.`);
  } catch (error) { return error.name === 'NotFoundError' ? cannot(refusal(error)) : fails(refusal(error)); }
}

async function battery() {
  const found = await navigator.getBattery?.().catch(() => null);
  return found ? works(t`${Math.round(found.level * 100)} % now. At 15 % it says so.`) : cannot(t`Its browser does not tell. Charge before each boil.`);
}

/** In the order they are read; what asks somebody comes last. */
export const CHECKS = [
  { id: 'home', name: NEEDED.home, run: home },
  { id: 'offline', name: NEEDED.offline, run: offline },
  { id: 'kept', name: /*t*/'Keeps its data', run: kept },
  { id: 'room', name: /*t*/'Has room', run: room },
  { id: 'awake', name: NEEDED.awake, run: awake },
  { id: 'photo', name: /*t*/'Takes photos', run: photo },
  { id: 'sound', name: /*t*/'Records spoken notes', run: sound },
  { id: 'battery', name: /*t*/'Tells its battery', run: battery },
  { id: 'shake', name: /*t*/'Vibrates', run: shake },
  { id: 'ring', name: NEEDED.ring, run: ring },
];
