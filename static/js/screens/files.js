// Photos: one press opens the camera; kept on this phone at once, sent when the shop is there; shown again.

import { t } from '../record/language.js';
import { key, stamp } from './dom.js';
import { entryWords } from './entries.js';
import { lay, panel } from './panel.js';

// What sheets had in mind that were frozen before the shop could set it (shop/plan/numbers.toml).
const BEFORE = { photo_side: 1600, photo_quality: 800000, note_length: 60000 };
const MILLION = 1000000;

/** A number of the shop's, as frozen with the boil [its fixed unit]. */
export const setBy = (sheet, id) => sheet?.numbers?.find((number) => number.id === id)?.value ?? BEFORE[id];

/** Small enough to send, sharp enough to see a cold joint. Of the file only its pixels are taken: where
 * and with what it was photographed stays behind. `side` [dots], `quality` [millionths]. */
export async function shrunk(file, side, quality) {
  const image = await createImageBitmap(file), scale = Math.min(1, side / Math.max(image.width, image.height));
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [image.width, image.height].map((length) => Math.max(1, Math.round(length * scale)));
  canvas.getContext('2d').drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  const blob = await new Promise((done) => canvas.toBlob(done, 'image/jpeg', quality / MILLION));
  if (!blob) throw new Error(t`this browser could not write a picture`);
  return blob;
}

// What the disk did not take: it waits here, and nothing new is begun before it.
const waiting = [];

const why = ({ name, message }) => (name === 'QuotaExceededError' ? t`This phone is full. Everything kept before is still here. Make room: remove films or apps.` : t`The disk said: ${message}`);

function notKept(ctx, error) {
  panel({
    title: t`It was not kept`, lead: `${why(error)} ${t`It waits in this open app until it is kept or thrown away.`}`,
    choices: [[t`Try again`, () => keepWaiting(ctx), 'go wide'], [t`Throw it away`, () => { waiting.shift(); }, 'wide']],
  });
}

// One after the other: two at once would keep the first of them twice.
let before = Promise.resolve();

function keepWaiting(ctx) {
  before = before.then(async () => {
    for (; waiting.length; waiting.shift()) await ctx.keepFile(...waiting[0]);
  }).catch((error) => notKept(ctx, error));
  return before;
}

/** Keeps bytes and the entry that names them; a full phone says so and drops neither. */
export function keep(ctx, blob, draft) {
  waiting.push([blob, draft]);
  return keepWaiting(ctx);
}

const failed = (lead) => panel({ title: t`It was not kept`, lead });

/** The phone's own camera; what it took is kept with boil, station and step, and with what it shows. */
export function takePhoto(ctx, place, what = '') {
  if (waiting.length) { keepWaiting(ctx); return; }
  const input = Object.assign(document.createElement('input'), { type: 'file', accept: 'image/*', capture: 'environment' });
  input.addEventListener('change', async () => {
    const [file] = input.files, sheet = ctx.sheet(place.batch);
    if (!file) return;
    try {
      const small = await shrunk(file, setBy(sheet, 'photo_side'), setBy(sheet, 'photo_quality'));
      await keep(ctx, small, { block: sheet.steps[place.step]?.block, ...place, kind: 'photo_taken', body: what ? { what } : {} });
    } catch (error) { failed(t`This is no photo the phone can read: ${error.message}`); }
  });
  input.click();
}

/** The photo or the sound itself, from this phone or from the shop. */
export async function showFile(ctx, event) {
  const { sha256, type } = event.body, { root, at } = stamp('panel');
  at.title.textContent = entryWords(ctx.sheet(event.batch), event);
  const close = lay(root);
  at.keys.append(key(t`Close`, () => close()));
  try {
    const url = URL.createObjectURL(await ctx.exchange.file(sha256, type)), photo = type.startsWith('image/');
    at.choices.append(Object.assign(document.createElement(photo ? 'img' : 'audio'), { src: url, controls: true, alt: at.title.textContent, className: 'wide' }));
    root.addEventListener('close', () => URL.revokeObjectURL(url), { once: true });
  } catch { at.lead.textContent = t`It is not on this phone, and the shop can’t be reached now.`; }
}
