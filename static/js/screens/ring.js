// A countdown that has run out rings on every phone of its boil until someone answers.

const EVERY_MS = 2000;

export class Ring {
  constructor(ctx) {
    Object.assign(this, { ctx, audio: null, last: 0 });
    addEventListener('pointerup', () => this.unlock());
    addEventListener('keydown', () => this.unlock());
  }

  /** Browsers let sound start only from a press. */
  unlock() {
    this.audio ??= 'AudioContext' in window ? new AudioContext() : null;
    if (this.audio?.state === 'suspended') this.audio.resume().catch(() => {});
  }

  get ready() { return this.audio?.state === 'running'; }

  /** Countdowns that are over, in all open boils: `[{batch, countdown, late}]`. */
  over() {
    const now = this.ctx.shelf.now();
    return this.ctx.shelf.batches().filter(({ id, phase }) => phase === 'open' && this.ctx.shelf.sheet(id)).flatMap(({ id }) =>
      this.ctx.state(id).countdowns.filter(({ deadline }) => deadline <= now).map((countdown) => ({ batch: id, countdown, late: now - countdown.deadline })));
  }

  update() {
    const due = this.over();
    if (!due.length || performance.now() - this.last < EVERY_MS || this.silent) return;
    this.last = performance.now();
    this.beep();
    navigator.vibrate?.(300);
  }

  beep(hertz = 1800) {
    if (!this.ready) return;
    const tone = this.audio.createOscillator(), level = this.audio.createGain();
    tone.type = 'square';
    tone.frequency.value = hertz;
    level.gain.value = 0.2;
    tone.connect(level).connect(this.audio.destination);
    tone.start();
    tone.stop(this.audio.currentTime + 0.35);
  }

  speak(words) {
    if (!('speechSynthesis' in window)) return;
    const utterance = new SpeechSynthesisUtterance(words);
    utterance.lang = document.documentElement.lang;
    speechSynthesis.speak(utterance);
  }
}
