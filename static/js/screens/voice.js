// The voice: the phone's own where it has one for the language that works without a network, else the
// recordings that came with the app. One thing is said at a time.

import { recordings, speaks, text } from '../record/utterance.js';
import { recordingOf } from '../sync/guide.js';

const BEGIN_MS = 2500, LONGEST_MS = 15000, PACE = 0.9, PAUSE_S = 0.2, FLOOR = 0.01, FULL = 0.95, OLD_MS = 10000;

/** The part of a recording that is heard, `[from, to]` in seconds, for each decoder leaves another silence
 * about it; and how much louder it may be without breaking up. */
function heardIn(recorded) {
  const dots = recorded.getChannelData(0), loud = (dot) => Math.abs(dot) > FLOOR, first = dots.findIndex(loud), last = dots.findLastIndex(loud);
  const peak = dots.reduce((most, dot) => Math.max(most, Math.abs(dot)), FLOOR);
  return [Math.max(first, 0) / recorded.sampleRate, (last + 1) / recorded.sampleRate, FULL / peak];
}

const pause = (ms) => new Promise((done) => setTimeout(done, ms));

export class Voice {
  constructor(ctx, sound) {
    Object.assign(this, { ctx, sound, waiting: [], busy: false, playing: [], kept: new Map() });
    // Some browsers know their voices only after they were asked once.
    globalThis.speechSynthesis?.getVoices();
  }

  get language() {
    const wanted = this.ctx.reads('language') || 'en';
    return speaks(wanted) ? wanted : 'en';
  }

  /** A voice of this phone for a language; undefined where it has none or would ask the network for it. */
  own(language) {
    return globalThis.speechSynthesis?.getVoices().find(({ localService, lang }) => localService && lang.toLowerCase().split(/[-_]/)[0] === language);
  }

  /** After what is being said; what waited too long is not said any more. */
  async say(line) {
    if (line.length) this.waiting.push({ line, at: performance.now() });
    if (this.busy) return;
    this.busy = true;
    while (this.waiting.length) {
      const { line: next, at } = this.waiting.shift();
      if (performance.now() - at < OLD_MS) await this.speak(next).catch(() => {});
    }
    this.busy = false;
  }

  quiet() {
    this.waiting = [];
    if (!this.busy) return;
    globalThis.speechSynthesis?.cancel();
    for (const source of this.playing) source.stop();
    this.playing = [];
  }

  async speak(line) {
    const { language } = this, voice = this.own(language);
    if (voice && await this.bySelf(voice, text(language, line))) return;
    await this.byRecording(language, recordings(language, line));
  }

  /** Whether the phone's voice took it up: one that does not begin soon is called off. */
  bySelf(voice, words) {
    return new Promise((done) => {
      const utterance = Object.assign(new SpeechSynthesisUtterance(words), { voice, lang: voice.lang, rate: PACE });
      let begun = false;
      setTimeout(() => { if (!begun) { speechSynthesis.cancel(); done(false); } }, BEGIN_MS);
      setTimeout(() => done(true), LONGEST_MS);
      utterance.onstart = () => { begun = true; };
      utterance.onend = () => done(true);
      utterance.onerror = () => done(begun);
      speechSynthesis.speak(utterance);
    });
  }

  recorded(language, name) {
    const key = `${language}/${name}`;
    if (!this.kept.has(key)) this.kept.set(key, this.decoded(language, name));
    return this.kept.get(key);
  }

  async decoded(language, name) {
    const bytes = await recordingOf(language, name);
    if (bytes) return this.sound.audio.decodeAudioData(bytes);
    this.kept.delete(`${language}/${name}`);
    return null;
  }

  /** Part after part; half a number would be worse than none. */
  async byRecording(language, parts) {
    const { sound, sound: { audio } } = this;
    if (!sound.running) return;
    const all = await Promise.all(parts.map((names) => Promise.all(names.map((name) => this.recorded(language, name)))));
    if (all.flat().includes(null) || !this.busy) return;
    let at = audio.currentTime;
    for (const part of all) {
      for (const recorded of part) at = this.play(recorded, at);
      at += PAUSE_S;
    }
    await pause((at - audio.currentTime) * 1000);
    this.playing = [];
  }

  play(recorded, at) {
    const { audio } = this.sound, source = audio.createBufferSource(), level = audio.createGain(), [from, to, louder] = heardIn(recorded);
    source.buffer = recorded;
    level.gain.value = louder;
    source.connect(level).connect(audio.destination);
    source.start(at, from, to - from);
    this.playing.push(source);
    return at + to - from;
  }
}
