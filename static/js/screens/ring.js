// A countdown that has run out rings on every phone of its boil until someone answers.

const EVERY_MS = 2000;

export class Ring {
  constructor(ctx) {
    Object.assign(this, { ctx, audio: null, last: 0, silent: false });
    addEventListener('pointerup', () => this.unlock());
    addEventListener('keydown', () => this.unlock());
    document.addEventListener('visibilitychange', () => this.unlock());
  }

  /** Browsers let sound start only from a press. */
  unlock() {
    this.audio ??= 'AudioContext' in window ? new AudioContext() : null;
    if (this.audio?.state === 'suspended') this.audio.resume().catch(() => {});
  }

  get ready() { return this.audio?.state === 'running'; }

  /** Whether something of the boil this phone stands at is over, or somebody is burnt. */
  calling() {
    const { shelf } = this.ctx, now = shelf.now();
    return this.ctx.boils().filter(({ id }) => id === shelf.phone?.batch).some(({ id }) => {
      const { countdowns, interrupted } = this.ctx.state(id);
      return countdowns.some(({ deadline }) => deadline <= now) || interrupted.some(({ cause, ended }) => cause === 'burn' && !ended);
    });
  }

  /** At the blade it is silent: `silent` is set by the station. */
  update() {
    if (this.silent || performance.now() - this.last < EVERY_MS || !this.calling()) return;
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
