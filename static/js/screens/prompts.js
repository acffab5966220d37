// What is spoken without being asked: the mark from 140 °C to poured, and how long a countdown is that
// has begun. The phone does not know the temperature: it says no 'off', and counts nothing down.

import { begun, hot, poured } from '../record/utterance.js';
import { say } from '../record/words.js';

// A cook takes some four minutes from 140 °C to the pour: after ten somebody has poured and not pressed.
const AGAIN_MS = 20000, FORGOTTEN_MS = 600000, FRESH_MS = 5000, MINUTE_MS = 60000;

export class Prompts {
  constructor(ctx, ring) { Object.assign(this, { ctx, ring, last: null, running: null }); }

  /** Every second. */
  update() {
    if (this.ring.still) this.ring.voice.quiet(); else this.scene();
    this.counts();
  }

  scene() {
    const { voice } = this.ring, isHot = document.body.classList.contains('is-hot'), now = performance.now();
    if (!isHot && this.last !== null) voice.quiet();
    if (!isHot) { this.last = null; return; }
    if (this.last !== null && now - this.last < AGAIN_MS) return;
    this.last = now;
    voice.say(this.words());
  }

  words() {
    const { ctx, ctx: { shelf } } = this, { batch } = shelf.phone, sheet = ctx.sheet(batch), { figures, steps } = ctx.state(batch);
    const begun140 = steps[sheet.hot_scene.from], forgotten = begun140 && shelf.now() - begun140.at > FORGOTTEN_MS;
    const { flame_off_mark: mark } = figures;
    return [...(forgotten ? poured() : []), ...hot(mark === null ? null : parseInt(say(mark, 'm°C', ctx.wanted['m°C'], 0), 10))];
  }

  /** A countdown that has just begun at this station. */
  counts() {
    const { ctx, ctx: { shelf } } = this, { batch, station } = shelf.phone ?? {}, now = shelf.now();
    const all = ctx.boils().some(({ id }) => id === batch) ? ctx.state(batch).countdowns.filter((countdown) => countdown.station === station) : [];
    const known = this.running, names = new Set(all.map(({ id, deadline }) => `${batch} ${id} ${deadline}`));
    this.running = names;
    if (!known || this.ring.still) return;
    for (const { id, started, deadline } of all) {
      if (known.has(`${batch} ${id} ${deadline}`) || deadline <= now || now - started > FRESH_MS) continue;
      this.ring.voice.say(begun(id, Math.round((deadline - started) / MINUTE_MS)));
    }
  }
}
