// What this phone sounds with, and whether it can now. A browser lets sound out only after a press, and
// may take it away again while another app is in front.

import { attr } from './dom.js';

// Two tones below 1500 Hz, which an old ear and ear muffs still let through, in two and a half pulses a second
// (danger signals, ISO 7731: 500 to 2500 Hz with strength below 1500, pulses of 0.2 to 5 Hz; from memory).
const TONES = [740, 988], PULSES = 3, PULSE_S = 0.4, ON_S = 0.24, EDGE_S = 0.015;
/** The same rhythm for the hand [ms]. */
const SHAKE = Array.from({ length: 2 * PULSES - 1 }, (_, i) => Math.round((i % 2 ? PULSE_S - ON_S : ON_S) * 1000));
export const RING_S = PULSES * PULSE_S;

/** One ring of a sound device `audio` from its time `at` on; `loud` 0 to 1. */
export function ringOn(audio, at, loud) {
  for (let i = 0; i < PULSES; i += 1) {
    const tone = audio.createOscillator(), level = audio.createGain(), from = at + i * PULSE_S, to = from + ON_S;
    tone.type = 'square';
    tone.frequency.value = TONES[i % TONES.length];
    level.gain.setValueAtTime(0, from);
    level.gain.linearRampToValueAtTime(loud, from + EDGE_S);
    level.gain.setValueAtTime(loud, to - EDGE_S);
    level.gain.linearRampToValueAtTime(0, to);
    tone.connect(level).connect(audio.destination);
    tone.start(from);
    tone.stop(to);
  }
}

export class Sound {
  /** `told()`: whether it is ready has changed. */
  constructor(told) {
    Object.assign(this, { told, audio: null, ready: false, before: 0 });
    for (const name of ['pointerup', 'keydown']) addEventListener(name, () => this.unlock(), { capture: true });
    document.addEventListener('visibilitychange', () => this.back());
    if (navigator.userActivation?.hasBeenActive) this.unlock();
  }

  unlock() {
    // An iPhone's mute switch is for calls, not for a kettle.
    if (navigator.audioSession) navigator.audioSession.type = 'playback';
    this.audio ??= 'AudioContext' in window ? new AudioContext() : null;
    if (this.running || !this.audio) return;
    this.audio.resume().catch(() => {});
  }

  get running() { return this.audio?.state === 'running'; }

  /** Out of sight it is not ready, and back in sight not before its clock goes again. */
  back() {
    this.say(false);
    if (!document.hidden && this.audio) this.unlock();
  }

  /** Every second: some browsers call a sound device running whose clock stands still. */
  update() {
    const now = this.audio?.currentTime ?? 0, goes = now > this.before;
    this.before = now;
    this.say(this.running && goes && !document.hidden);
  }

  say(ready) {
    attr(document.body, 'data-sound', ready ? 'ready' : 'off');
    if (ready === this.ready) return;
    this.ready = ready;
    this.told();
  }

  /** Rings once and shakes, each as far as it can; `loud` 0 to 1. */
  ring(loud = 1) {
    if (this.running) ringOn(this.audio, this.audio.currentTime, loud);
    navigator.vibrate?.(SHAKE);
  }
}
