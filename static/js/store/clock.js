// What the server's clock says, as far as this phone can know it; and the hybrid logical clock.

const SAMPLES = 8, JUMP_MS = 2000, AHEAD_MS = 5 * 60000;

export class Clock {
  constructor(wall = () => Date.now(), steady = () => performance.now()) {
    Object.assign(this, { wall, steady, samples: [], offset: null, bound: null, last: [0, 0], watched: false });
    this.drift = wall() - steady();
  }

  /** Takes up what an earlier start of the app knew. */
  resume({ offset = null, bound = null, last = [0, 0] } = {}) {
    Object.assign(this, { offset, bound, last });
  }

  /** One exchange: sent and answered on this clock, `server` on the server's. Error ≤ half the trip. */
  sample(sent, answered, server) {
    const trip = answered - sent;
    // Set in between: the trip is no trip.
    if (this.checkJump() || trip < 0) return;
    this.samples = [...this.samples, { trip, offset: Math.round(server - (sent + trip / 2)) }].slice(-SAMPLES);
    const best = this.samples.reduce((a, b) => (b.trip < a.trip ? b : a));
    Object.assign(this, { offset: best.offset, bound: Math.ceil(best.trip / 2) });
  }

  /** A clock somebody set: the offset takes the jump up, so that deadlines stay where they are, and nobody
   * vouches for it until the next exchange. One that is ahead may only have slept, and sleep is true
   * time, unless the phone was `watched` meanwhile. True where it jumped. */
  checkJump() {
    const drift = this.wall() - this.steady(), jump = Math.round(drift - this.drift), jumped = Math.abs(jump) > JUMP_MS;
    this.drift = drift;
    if (!jumped) return false;
    if (jump < 0 || this.watched) this.offset = (this.offset ?? 0) - jump;
    Object.assign(this, { bound: null, samples: [] });
    return true;
  }

  /** Corrected time [ms]. */
  now() {
    return Math.round(this.wall() + (this.offset ?? 0));
  }

  /** The next place in the order, never before one already seen. */
  tick() {
    const now = this.now();
    this.last = now > this.last[0] ? [now, 0] : [this.last[0], this.last[1] + 1];
    return this.last;
  }

  /** Another's event was seen; one far ahead does not drag everybody along. */
  see([ms, count]) {
    if (ms > this.now() + AHEAD_MS) return;
    if (ms > this.last[0] || (ms === this.last[0] && count > this.last[1])) this.last = [ms, count];
  }
}
