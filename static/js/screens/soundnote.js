// A spoken note: nobody types with sugared hands. One press begins, another or the shop's seconds end it.

import { t } from '../record/language.js';
import { put } from './dom.js';
import { keep, setBy } from './files.js';
import { panel } from './panel.js';

// The first plays on every phone; the others where a browser can't write that. Speech needs no more bits.
const KINDS = ['audio/mp4;codecs=mp4a.40.2', 'audio/webm;codecs=opus', 'audio/mp4', 'audio/webm', 'audio/ogg;codecs=opus'];
const BITS = 32000, PIECE_MS = 1000, MOST_BYTES = 5000000;
const REFUSED = { NotAllowedError: /*t*/'The microphone was refused. Allow it for this address in the browser’s settings.', NotFoundError: /*t*/'This phone has no microphone.', NotReadableError: /*t*/'Another app holds the microphone. Close that, then press again.' };

/** How this browser writes sound; undefined where it can't. */
export const soundKind = () => (window.MediaRecorder ? KINDS.find((kind) => MediaRecorder.isTypeSupported(kind)) : undefined);

/** Why there is no sound, in words. */
export const refusal = ({ name, message }) => (REFUSED[name] ? t(REFUSED[name]) : t`This phone gives no microphone: ${message}`);

/** A recorder at work: `ended` gives its bytes, `stop()` ends it. Throws what the browser says. */
export async function listen() {
  const mimeType = soundKind();
  if (!mimeType || !navigator.mediaDevices) throw new Error(t`its browser writes no sound`);
  const stream = await navigator.mediaDevices.getUserMedia({ audio: true }), recorder = new MediaRecorder(stream, { mimeType, audioBitsPerSecond: BITS });
  const parts = [], stop = () => { if (recorder.state !== 'inactive') recorder.stop(); };
  const ended = new Promise((done) => recorder.addEventListener('stop', () => {
    stream.getTracks().forEach((track) => track.stop());
    done(new Blob(parts, { type: recorder.mimeType }));
  }));
  recorder.addEventListener('dataavailable', ({ data }) => {
    parts.push(data);
    if (parts.reduce((sum, { size }) => sum + size, 0) > MOST_BYTES) stop();
  });
  recorder.start(PIECE_MS);
  return { ended, stop };
}

const failed = (lead) => panel({ title: t`Nothing was recorded`, lead });

/** A note bound to its place, until a press, the shop's seconds, or another app in front. */
export async function speak(ctx, place) {
  let recording;
  try { recording = await listen(); } catch (error) { failed(refusal(error)); return; }
  const { ended, stop } = recording, over = performance.now() + setBy(ctx.sheet(place.batch), 'note_length');
  const { root, close } = panel({ title: t`Speak now`, lead: ' ', choices: [[t`That is all`, stop, 'go wide']], onClose: stop });
  const lead = root.querySelector('[data-at="lead"]'), left = () => Math.max(0, Math.ceil((over - performance.now()) / 1000));
  lead.setAttribute('role', 'timer');
  const tick = () => { put(lead, t`${left()} s left.`); if (!left()) stop(); };
  tick();
  const timer = setInterval(tick, 250);
  document.addEventListener('visibilitychange', stop, { once: true });
  const blob = await ended;
  clearInterval(timer);
  document.removeEventListener('visibilitychange', stop);
  close();
  if (blob.size) await keep(ctx, blob, { ...place, kind: 'sound_kept', body: {} }); else failed(t`The microphone gave no sound. Press again.`);
}
