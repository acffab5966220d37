// Push, then pull; again when there is reason to. Polls at 1 s beside others, 5 s alone, 15 s on lists.

import { t } from '../record/language.js';
import { canonical } from '../record/canonical.js';
import { hashOf } from '../store/shelf.js';
import { Refused, ask, fetchBytes } from './wire.js';

const MOST = 500, PIECE = 256 * 1024, RETRY_MS = [1000, 2000, 4000, 8000, 10000], MINUTE_MS = 60000, COMPANY_MS = 10 * MINUTE_MS;

/** The version of this app, which the shop may one day find too old to start a boil. */
export const APP = 1;


export class Exchange {
  constructor(shelf) {
    Object.assign(this, { shelf, online: null, lastOk: 0, head: 0, failures: 0, watched: null, running: null, timer: 0, again: false, began: 0, refused: null, heads: [0, ''], told: { text: '', where: '', at: 0 } });
    for (const [target, name] of [[window, 'online'], [window, 'pageshow'], [document, 'visibilitychange']])
      target.addEventListener(name, () => this.nudge());
  }

  state() { return { online: this.online, last_ok: this.lastOk, head: this.head, refused: this.refused }; }

  /** Which batch this phone works on; null on lists. */
  watch(batch) {
    this.watched = batch;
    this.plan();
  }

  /** Now, or as soon as the exchange that runs has ended. */
  nudge() {
    if (document.hidden || !this.shelf.phone || !this.shelf.soleTab) return;
    if (this.running) { this.again = true; return; }
    this.began = performance.now();
    this.running = this.once().finally(() => {
      this.running = null;
      const more = this.again && !this.failures;
      this.again = false;
      if (more) this.nudge(); else this.plan();
    });
  }

  plan() {
    clearTimeout(this.timer);
    // From start to start: a slow phone's own work must not come on top of every second.
    const wait = this.failures ? this.pause() : Math.max(this.pause() - (performance.now() - this.began), 100);
    this.timer = setTimeout(() => this.nudge(), wait);
  }

  pause() {
    if (this.failures) return RETRY_MS[Math.min(this.failures, RETRY_MS.length) - 1] * (0.75 + Math.random() / 2);
    if (!this.watched) return 15000;
    const since = this.shelf.now() - COMPANY_MS, own = this.shelf.phone?.device;
    return this.shelf.events(this.watched).some((e) => e.device !== own && e.recorded > since) ? 1000 : 5000;
  }

  async once() {
    try {
      await this.push();
      if (this.shelf.record.offer) await this.offerOthers();
      if (this.shelf.status().carried) await (await import('./relay.js')).sendCarried(this);
      await this.pull();
      await this.sendFiles();
      if (this.shelf.record.incidents?.length) await (await import('./incidents.js')).sendIncidents(this);
      // After an outage the shop may be another than before.
      if (this.failures) this.told.at = 0;
      await this.tellOffice();
      await this.shelf.setLockedOut(false);
      Object.assign(this, { online: true, failures: 0, lastOk: this.shelf.now(), refused: null });
    } catch (error) {
      this.failures++;
      this.online = error instanceof Refused;
      this.refused = error instanceof Refused ? { code: error.code, say: error.message } : null;
      if (this.refused?.code === 'locked-out') await this.shelf.setLockedOut(true);
    }
    this.shelf.tell();
  }

  /** Adds this phone with the office's code. */
  async join(code) {
    try {
      const { device } = this.shelf.record;
      const kept = this.shelf.wiped ? '' : device;
      const answer = JSON.parse(await this.timed('join', { message: { code, app: APP, ...(kept && { device: kept }) } }));
      await this.shelf.join(answer);
      this.nudge();
      return { ok: true };
    } catch (error) {
      if (error instanceof Refused) return { error: error.code, say: error.message };
      return { error: 'offline', say: t`The shop can’t be reached. Is this phone on the shop’s Wi-Fi?` };
    }
  }

  /** How this phone is, at a start and when that changed, at most once a minute; where it stands at once,
   * so that it is missed there. The office answers with its name and place. */
  async tellOffice() {
    const since = Date.now() - this.told.at, { station, batch, by } = this.shelf.record, where = [station, batch, by].join();
    if (since < MINUTE_MS && where === this.told.where) return;
    const { condition } = await import('./condition.js');
    const message = await condition(this.shelf, APP), text = JSON.stringify(message);
    if (text === this.told.text && this.told.at && since < 10 * MINUTE_MS) return;
    await this.shelf.takeWord(JSON.parse(await this.timed('phone', { token: this.shelf.token, message })));
    this.told = { text, where, at: Date.now() };
  }

  /** What the office says of people and this phone, now. */
  askOffice() {
    Object.assign(this.told, { text: '', at: 0 });
    this.nudge();
  }

  /** The way to the shop's new address, once everything is sent. Throws Refused. */
  async move() {
    const { token, record: { seq } } = this.shelf;
    const { to, code } = JSON.parse(await this.timed('move', { token, message: { made: seq } }));
    return `${to}/floor/#add=${code}`;
  }

  /** A request that also tells the server's time. */
  async timed(path, options) {
    const sent = Date.now();
    const text = await ask(path, options);
    const { server_time: server } = text ? JSON.parse(text.split('\n', 1)[0]) : {};
    if (server) this.shelf.clock.sample(sent, Date.now(), server);
    return text;
  }

  async push() {
    if (this.shelf.record.offer) await this.offerSheets();
    for (let unsent = this.shelf.unsent(); unsent.length; unsent = this.shelf.unsent()) {
      const from = unsent[0];
      const run = unsent.filter((seq, i) => seq === from + i).slice(0, MOST);
      const lines = run.map((seq) => this.shelf.own.get(seq));
      const chain = { device: this.shelf.phone.device, from_seq: from, lines, head: await this.headAfter(run.at(-1)) };
      const answer = JSON.parse(await this.timed('push', { token: this.shelf.token, message: { app: APP, epoch: this.shelf.phone.epoch, chains: [chain] } }));
      if (await this.shelf.renewEpoch(answer.epoch)) return this.push();
      const mine = answer.answers.find(({ device }) => device === chain.device);
      await this.shelf.acknowledge(mine);
      this.shelf.noteKnown(mine.expect - 1);
      if (this.shelf.unsent()[0] === from) throw new Refused('expect', `The shop expects entry ${mine.expect}.`);
    }
  }

  /** To a restored server, before anything else: the sheets of boils it may not know. */
  async offerSheets() {
    const { token } = this.shelf;
    for (const [hash, sheet] of this.shelf.sheets) {
      const text = typeof sheet === 'string' ? sheet : canonical(sheet);
      await this.timed(`sheet/${hash}`, { token, message: { text } });
    }
  }

  /** To a restored server: what this phone saw of others. */
  async offerOthers() {
    const { token } = this.shelf;
    for (const { device, from_seq: from, lines } of await this.shelf.othersRuns()) {
      for (let i = 0; i < lines.length; i += MOST) {
        const chain = { device, from_seq: from + i, lines: lines.slice(i, i + MOST), head: '' };
        await this.timed('push', { token, message: { app: APP, chains: [chain] } });
      }
    }
    await this.shelf.offered();
  }

  /** Photos and sounds, piece by piece after everything else; a new press goes first. */
  async sendFiles() {
    for (const name of [...this.shelf.record.toSend]) {
      const { bytes, type } = await this.shelf.file(name) ?? {};
      let have = bytes ? await this.sendPiece(name, type, bytes, 0, 0) : 0;
      while (bytes && have < bytes.byteLength) {
        if (this.again) return;
        have = await this.sendPiece(name, type, bytes, have, PIECE);
      }
      await this.shelf.fileSent(name);
    }
  }

  /** How much of the file the shop has after this piece. */
  async sendPiece(name, type, bytes, from, length) {
    const query = new URLSearchParams({ from, size: bytes.byteLength, type });
    const text = await this.timed(`file/${name}?${query}`, { token: this.shelf.token, bytes: bytes.slice(from, from + length) });
    return JSON.parse(text).have;
  }

  /** A photo or sound: from this phone, else from the shop. */
  async file(name, type) {
    const kept = await this.shelf.file(name);
    return new Blob([kept?.bytes ?? await fetchBytes(`file/${name}`, this.shelf.token)], { type });
  }

  /** Running head hash after line `seq`, or '' where older lines have left the phone. */
  async headAfter(seq) {
    let [n, head] = this.heads[0] <= seq ? this.heads : [0, ''];
    while (n < seq) {
      const line = this.shelf.own.get(n + 1);
      if (line === undefined) return '';
      head = await hashOf(new TextEncoder().encode(head + line));
      n++;
    }
    this.heads = [n, head];
    return head;
  }

  async pull() {
    const { cursor, token, phone } = this.shelf;
    const wanted = this.shelf.subscribed(this.watched);
    const query = new URLSearchParams({ after: cursor, epoch: phone.epoch, batches: wanted });
    const text = await this.timed(`pull?${query}`, { token });
    if (text === null) return;
    const [first, ...lines] = text.trimEnd().split('\n');
    const header = JSON.parse(first);
    if (header.count !== lines.length) throw new TypeError(`${lines.length} lines of ${header.count} came`);
    for (const hash of this.shelf.lacksSheets(header.sheets)) await this.shelf.addSheet(hash, await ask(`sheet/${hash}`, { token }));
    await this.shelf.renewEpoch(header.epoch);
    this.shelf.noteKnown(header.entries);
    // A boil that was closed and goes on: what was missed of it meanwhile is fetched whole, before the cursor moves past it.
    for (const { id, phase } of header.batches) if (cursor && phase === 'open' && !wanted.includes(id)) await this.fetchBatch(id);
    await this.shelf.take(header, lines);
    this.head = header.head;
  }

  /** One boil whole, open or ended, when somebody asks for it. */
  async fetchBatch(id) {
    const { token, record: { cursor } } = this.shelf;
    const [first, ...lines] = (await this.timed(`batch/${id}`, { token })).trimEnd().split('\n');
    const header = JSON.parse(first);
    for (const hash of this.shelf.lacksSheets(header.sheets)) await this.shelf.addSheet(hash, await ask(`sheet/${hash}`, { token }));
    await this.shelf.take({ ...header, through: cursor }, lines);
  }
}

/** Starts exchanging; polls by itself from here on. */
export function startExchange(shelf) {
  const exchange = new Exchange(shelf);
  // The first exchange waits until the screen stands.
  setTimeout(() => exchange.nudge(), 250);
  return exchange;
}
