// The phones beside this one, as the shop hears them: asked every ten seconds, only while a boil is hot.

const EVERY_MS = 10000, LATE_MS = 3 * EVERY_MS;
// A phone that lost the shop tries again within 12.5 s: before that nobody is called silent.
const SETTLED_MS = 15000;

export class Company {
  constructor(exchange) {
    Object.assign(this, { exchange, phones: [], asked: -EVERY_MS, answered: -LATE_MS, since: 0, started: exchange.shelf.now() });
  }

  /** Asks when it is time; a shop that does not answer leaves what was known. */
  async ask() {
    // Not the clock that people set: set back an hour it would ask nothing for an hour.
    const { exchange, exchange: { shelf } } = this, now = performance.now();
    if (now - this.asked < EVERY_MS || !shelf.phone || document.hidden) return;
    this.asked = now;
    try {
      const { phones } = JSON.parse(await exchange.timed('company', { token: shelf.token }));
      if (now - this.answered >= LATE_MS) this.since = performance.now();
      Object.assign(this, { phones, answered: performance.now() });
    } catch { /* the exchange says that the shop can't be reached */ }
  }

  /** Whether the shop answers, and has for so long that the others called it too. */
  get settled() {
    const now = performance.now();
    return now - this.answered < LATE_MS && now - this.since > SETTLED_MS;
  }

  /** Since when [ms, corrected clock] nothing was heard from the shop; null while it answers. */
  get cutOff() {
    const { online, last_ok: lastOk } = this.exchange.state();
    return online === false ? Math.max(lastOk, this.started) : null;
  }
}
