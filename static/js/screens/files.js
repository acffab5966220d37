// Photos and spoken notes: taken, kept on this phone at once, sent when the shop is there; shown again.

import { key, stamp } from './dom.js';
import { entryWords } from './entries.js';
import { lay, panel } from './panel.js';

const LONG_SIDE = 1600, QUALITY = 0.8, LONGEST_MS = 60000;

/** A photo small enough to send, sharp enough to see a cold joint. */
async function shrunk(file) {
  const image = await createImageBitmap(file), scale = Math.min(1, LONG_SIDE / Math.max(image.width, image.height));
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [image.width, image.height].map((side) => Math.round(side * scale));
  canvas.getContext('2d').drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((done) => canvas.toBlob(done, 'image/jpeg', QUALITY));
}

const failed = (lead) => panel({ title: 'It was not kept', lead });

/** The phone's own camera; what it took is kept with the boil and station, and with what it shows. */
export function takePhoto(ctx, place, what = '') {
  const input = Object.assign(document.createElement('input'), { type: 'file', accept: 'image/*', capture: 'environment' });
  input.addEventListener('change', async () => {
    const [file] = input.files;
    if (!file) return;
    try {
      await ctx.keepFile(await shrunk(file), { ...place, kind: 'photo_taken', body: what ? { what } : {} });
    } catch (error) { failed(`The photo can’t be kept: ${error.message}`); }
  });
  input.click();
}

/** A spoken note, at most a minute; nobody types with sugared hands. */
export async function speak(ctx, place) {
  let recorder;
  try {
    recorder = new MediaRecorder(await navigator.mediaDevices.getUserMedia({ audio: true }));
  } catch (error) { failed(`This phone gives no microphone: ${error.message}`); return; }
  const parts = [], stop = () => { if (recorder.state !== 'inactive') recorder.stop(); };
  recorder.addEventListener('dataavailable', ({ data }) => parts.push(data));
  recorder.addEventListener('stop', () => {
    recorder.stream.getTracks().forEach((track) => track.stop());
    ctx.keepFile(new Blob(parts, { type: recorder.mimeType }), { ...place, kind: 'sound_kept', body: {} }).catch(({ message }) => failed(message));
  });
  recorder.start();
  setTimeout(stop, LONGEST_MS);
  panel({ title: 'Speak now', lead: 'At most a minute.', choices: [['That is all', stop, 'go wide']], onClose: stop });
}

/** The photo or the sound itself, from this phone or from the shop. */
export async function showFile(ctx, event) {
  const { sha256, type } = event.body, { root, at } = stamp('panel');
  at.title.textContent = entryWords(ctx.shelf.sheet(event.batch), event);
  const close = lay(root);
  at.keys.append(key('Close', () => close()));
  try {
    const url = URL.createObjectURL(await ctx.exchange.file(sha256, type)), photo = type.startsWith('image/');
    at.choices.append(Object.assign(document.createElement(photo ? 'img' : 'audio'), { src: url, controls: true, alt: at.title.textContent, className: 'wide' }));
    root.addEventListener('close', () => URL.revokeObjectURL(url), { once: true });
  } catch { at.lead.textContent = 'It is not on this phone, and the shop can’t be reached now.'; }
}
