// The screen stays on while the app is looked at. The browser takes that back when it is out of sight.

import { t } from '../record/language.js';

export class Awake {
  /** `told()`: it has changed. */
  constructor(told) {
    Object.assign(this, { told, lock: null, refused: '' });
    document.addEventListener('visibilitychange', () => this.ask());
    addEventListener('pointerup', () => this.ask());
    this.ask();
  }

  get held() { return Boolean(this.lock && !this.lock.released); }

  async ask() {
    if (document.hidden || this.held || this.asking || !navigator.wakeLock) return;
    this.asking = true;
    try {
      this.lock = await navigator.wakeLock.request('screen');
      this.refused = '';
      this.lock.addEventListener('release', () => this.told());
    } catch ({ message }) { this.refused = message; }
    this.asking = false;
    this.told();
  }

  /** What it is, and what to do where it is not. */
  words() {
    if (!navigator.wakeLock) return [t`Set the screen to stay on by hand`, t`Its browser can’t. Look for it in the phone’s settings.`];
    if (this.held) return [t`The screen stays on`, t`While Kettleside is in front.`];
    return [t`The screen may go dark`, this.refused ? t`The browser refused: ${this.refused}. Battery saving off, then press anywhere.` : t`Press anywhere to hold it.`];
  }
}
