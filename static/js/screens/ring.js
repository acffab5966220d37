// A countdown that has run out, and a burn, ring on every phone of their boil until someone answers. At the
// blade nothing sounds or flashes; from 140 °C to poured nothing but a burn does.

import { t } from '../record/language.js';
import { burn, over } from '../record/utterance.js';
import { RING_S, Sound } from './sound.js';
import { Voice } from './voice.js';

const EVERY_MS = 1900, SAID_EVERY = 10, MINUTE_MS = 60000;
/** Each ring of a row, louder: a hand at hot sugar must not start. */
const LOUD = [0.3, 0.6, 1];

const nameOf = (batch, { id, deadline }) => `${batch} ${id} ${deadline}`;
const has = (name) => document.body.classList.contains(name);

export class Ring {
  constructor(ctx) {
    Object.assign(this, { ctx, last: -EVERY_MS, count: 0, sound: new Sound(() => ctx.shelf.tell()) });
    this.voice = new Voice(ctx, this.sound);
    // Behind another app as well, as far as the browser lets it.
    setInterval(() => { if (document.hidden) this.update(); }, 1000);
  }

  unlock() { this.sound.unlock(); }
  get ready() { return this.sound.running; }
  beep() { this.sound.ring(); }

  /** At the blade. */
  get still() { return has('at-blade'); }

  /** What calls in the boil this phone stands at, `[{name, late [min], urgent, line}]`. */
  calls() {
    const { ctx, ctx: { shelf } } = this, now = shelf.now(), batch = shelf.phone?.batch;
    if (!ctx.boils().some(({ id }) => id === batch)) return [];
    const { countdowns, interrupted } = ctx.state(batch), late = ({ deadline }) => Math.floor((now - deadline) / MINUTE_MS);
    return [
      ...interrupted.filter(({ cause, ended }) => cause === 'burn' && !ended).map(({ ref }) => ({ name: `${batch} ${ref}`, late: 0, urgent: true, line: burn() })),
      ...countdowns.filter(({ deadline }) => deadline <= now).map((countdown) => ({ name: nameOf(batch, countdown), late: late(countdown), urgent: false, line: over(countdown.id, late(countdown)) })),
    ];
  }

  update() {
    if (!document.hidden) this.sound.update();
    const all = this.calls(), heard = this.still ? [] : all.filter(({ urgent }) => urgent || !has('is-hot'));
    document.body.toggleAttribute('data-calls', heard.length > 0);
    if (this.note(all, heard)) this.count = 0;
    if (!heard.length) this.count = 0;
    if (!heard.length || this.voice.busy || performance.now() - this.last < EVERY_MS) return;
    this.last = performance.now();
    this.sound.ring(LOUD[Math.min(this.count, LOUD.length - 1)]);
    if (this.count % SAID_EVERY === 0) setTimeout(() => { if (this.count) for (const { line } of heard) this.voice.say(line); }, RING_S * 1000);
    this.count += 1;
  }

  /** Keeps how late each first rang here, also over a new start; true where one is new. */
  note(all, heard) {
    const before = this.ctx.shelf.record.rung ?? {}, fresh = document.hidden ? [] : heard.filter(({ name }) => !(name in before));
    const rung = Object.fromEntries(all.filter((call) => call.name in before || fresh.includes(call)).map(({ name, late }) => [name, before[name] ?? late]));
    if (fresh.length || Object.keys(rung).length < Object.keys(before).length) this.ctx.shelf.keepChoice({ rung });
    return fresh.length > 0;
  }

  /** `, rang 4 min late`, of a countdown that this phone could not ring in time. */
  lateWords(batch, countdown) {
    const late = this.ctx.shelf.record.rung?.[nameOf(batch, countdown)];
    return late ? t`, rang ${late} min late` : '';
  }

  /** Something new is asked: once. */
  once(line) {
    if (this.still || has('is-hot')) return;
    this.sound.ring();
    setTimeout(() => this.voice.say(line), RING_S * 1000);
  }
}
