// The phones beside this one, as the shop hears them: asked every ten seconds, only while a boil is hot.

const EVERY_MS = 10000, LATE_MS = 3 * EVERY_MS;
// A phone that lost the shop tries again within 12.5 s: before that nobody is called silent.
const SETTLED_MS = 15000;

export class Company {
  constructor(exchange) {
    Object.assign(this, { exchange, phones: [], asked: 0, answered: 0, since: 0, started: Date.now() });
  }

  /** Asks when it is time; a shop that does not answer leaves what was known. */
  async ask() {
    const { exchange, exchange: { shelf } } = this, now = Date.now();
    if (now - this.asked < EVERY_MS || !shelf.phone || document.hidden) return;
    this.asked = now;
    try {
      const { phones } = JSON.parse(await exchange.timed('company', { token: shelf.token }));
      if (Date.now() - this.answered > LATE_MS) this.since = Date.now();
      Object.assign(this, { phones, answered: Date.now() });
    } catch { /* the exchange says that the shop can't be reached */ }
  }

  /** Whether the shop answers, and has for so long that the others called it too. */
  get settled() { return Date.now() - this.answered < LATE_MS && Date.now() - this.since > SETTLED_MS; }

  /** Since when [ms, this phone's clock] nothing was heard from the shop; null while it answers. */
  get cutOff() {
    const { online, last_ok: lastOk } = this.exchange.state();
    return online === false ? Math.max(lastOk, this.answered, this.started) : null;
  }
}
