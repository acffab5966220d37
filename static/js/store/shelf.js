// Everything this phone holds: who it is, its own events, what it pulled, the sheets.
// A press is in memory at once, on disk a moment later, at the shop when the server has named it.

import { canonical } from '../record/canonical.js';
import { refOf } from '../record/order.js';
import { lostSince, readCanary, writeCanary } from './canary.js';
import { chainsOf, numbered } from './chains.js';
import { Clock } from './clock.js';
import { Database } from './database.js';
import { signedAs, stillSigned } from './pins.js';
import { addRange, firstOutside, inRanges } from './ranges.js';

export const PAGE = 500;
const ENDED = 60;
const BLANK = { device: '', token: '', name: '', shop: null, epoch: '', station: '', by: '', for: '', batch: '', crew: [], signed: {}, tries: {}, lockedOut: false, cursor: 0, seq: 0, given: '', moved: '', acked: [], aside: [], batches: [], clock: {}, persisted: null, offer: false, toSend: [] };

/** SHA-256 of bytes, in hex. */
export const hashOf = async (bytes) => [...new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))].map((byte) => byte.toString(16).padStart(2, '0')).join('');

/** The batch a line belongs to: it stands first in the canonical form. */
export const batchOf = (line) => line.match(/^\{"batch":"([\w.-]+)"/)?.[1] ?? JSON.parse(line).batch;

/** All open boils, and the last that ended. */
const recent = (batches) => batches.filter(({ phase }, i) => phase === 'open' || i >= batches.length - ENDED);

export class Shelf {
  constructor(database = new Database()) {
    Object.assign(this, { database, clock: new Clock(), record: { ...BLANK }, own: new Map(), carried: new Map(), books: new Map(), unread: new Map(), sheets: new Map() });
    Object.assign(this, { listeners: new Set(), unkept: new Set(), saving: 'ok', soleTab: true, installed: matchMedia('(display-mode: standalone)').matches, wiped: null, lastKept: 0 });
  }

  /** Reads everything; `false` in `soleTab` means another tab writes and this one only looks. */
  async open() {
    const [{ record, lines, carried, pages, sheets }] = await Promise.all([this.database.load(), this.claim()]);
    this.record = { ...BLANK, ...record };
    this.sheets = sheets;
    this.clock.resume(this.record.clock);
    // First what came by a file: where the shop says otherwise, its word is laid over it.
    for (const entry of carried) { this.carried.set(entry.sha256, entry); if (!entry.said) this.lay(entry.line); }
    for (const page of pages) for (const line of page.lines) this.lay(line);
    for (const { seq, line } of lines) { this.own.set(seq, line); this.lay(line); }
    if (lines.length) this.clock.see(JSON.parse(lines.at(-1).line).hlc);
    this.record.seq = Math.max(this.record.seq, ...lines.map(({ seq }) => seq));
    this.lastKept = this.record.seq;
    this.wiped = lostSince(readCanary(), record, this.record.seq);
    return this;
  }

  /** One tab writes; the others wait for it to close. */
  claim() {
    // A page woken from its sleep starts again: another may have written meanwhile.
    addEventListener('pageshow', ({ persisted }) => { if (persisted) location.reload(); });
    if (!navigator.locks) return Promise.resolve();
    return new Promise((done) => {
      navigator.locks.request('kettleside-writer', { ifAvailable: true }, (lock) => {
        this.soleTab = Boolean(lock);
        done();
        // A page that was left may be kept asleep for the way back: it must not sleep on the pen.
        if (lock) return new Promise((release) => addEventListener('pagehide', release, { once: true }));
        this.waitForPen();
      });
    });
  }

  /** When the tab that writes is closed, this one starts again and writes. */
  waitForPen() {
    navigator.locks.request('kettleside-writer', () => { location.reload(); return new Promise(() => {}); });
  }

  /** Who this phone is; null before it was added, and after a wipe: its old number must not go on. */
  get phone() {
    if (this.wiped) return null;
    const { device, name, shop, epoch, station, by, batch } = this.record;
    return device ? { device, name, shop, epoch, station, by, batch } : null;
  }

  get token() { return this.record.token; }
  get cursor() { return this.record.cursor; }
  now() { return this.clock.now(); }

  /** This phone was added: its name, its token, and the browser's word on keeping its data. */
  async join(answer) {
    const { device, token, name, epoch } = answer;
    const fresh = device === this.record.device ? {} : { seq: 0, acked: [], aside: [] };
    const persisted = await navigator.storage?.persist?.().catch(() => false) ?? null;
    Object.assign(this.record, fresh, { device, token, name, epoch, persisted });
    await this.database.run(['phone', 'own'], 'readwrite', ({ phone, own }) => {
      if (fresh.acked) own.clear();
      phone.put(this.record, 'phone');
    });
    if (fresh.acked) this.own.clear();
    writeCanary(device, this.record.seq);
    this.wiped = null;
    this.tell();
  }

  /** What is chosen on this phone: station, person, for whom, boil. */
  setPhone(choice) { this.keepChoice(choice); }

  /** The same, done when the disk has it. */
  keepChoice(choice) {
    Object.assign(this.record, choice);
    this.tell();
    return this.saveRecord();
  }

  /** People with their verifiers, as the office last said; before it did, those of the shop. */
  crew() { return this.record.crew.length ? this.record.crew : this.record.shop?.people ?? []; }

  /** How somebody is signed in on this phone: `shop`, `phone` or '' for a name that was only chosen. */
  signedAs(person) { return signedAs(this.record.signed, person, this.now()); }

  /** The office locked this phone out, or let it in again; what it knew of PINs is gone at once. */
  setLockedOut(lockedOut) {
    if (lockedOut === this.record.lockedOut) return Promise.resolve();
    return this.keepChoice({ lockedOut, ...(lockedOut && { crew: [], signed: {} }) });
  }

  /** What the office says of this phone; a station it gives is taken once, so that people can change it. */
  takeWord({ name, station, moved, people: crew = [], units = '', language = '' }) {
    const { record } = this, known = JSON.stringify([crew, units, language]) === JSON.stringify([record.crew, record.units, record.language]), given = station && station !== record.given ? { station, given: station } : {};
    if (name === record.name && moved === record.moved && known && !given.station) return Promise.resolve();
    Object.assign(record, { name, moved, signed: stillSigned(record.signed, record.crew, crew), crew, units, language }, given);
    this.tell();
    return this.saveRecord();
  }

  saveRecord() {
    const record = structuredClone(this.record);
    return this.soleTab ? this.database.run(['phone'], 'readwrite', ({ phone }) => { phone.put(record, 'phone'); }).catch(() => {}) : Promise.resolve();
  }

  batches() { return this.record.batches; }

  /** The batch's sheet, read from its text when it is first wanted; null if it is not here. */
  sheet(batch) {
    const hash = this.record.batches.find(({ id }) => id === batch)?.sheet, text = this.sheets.get(hash);
    if (typeof text === 'string') this.sheets.set(hash, JSON.parse(text));
    return this.sheets.get(hash) ?? null;
  }

  /** Boils whose news this phone wants: the open ones, and one it looks at. */
  subscribed(watched) {
    return [...new Set([...this.record.batches.filter(({ phase }) => phase === 'open').map(({ id }) => id), ...(watched ? [watched] : [])])];
  }

  events(batch) { return [...this.book(batch).values()]; }

  /** A kept line, not read until somebody wants its batch: a start reads one boil, not all. */
  lay(line) {
    const batch = batchOf(line);
    if (!this.unread.has(batch)) this.unread.set(batch, []);
    this.unread.get(batch).push(line);
  }

  book(batch) {
    if (!this.books.has(batch)) this.books.set(batch, new Map());
    const book = this.books.get(batch);
    for (const line of this.unread.get(batch) ?? []) {
      const event = JSON.parse(line);
      book.set(refOf(event), event);
    }
    this.unread.delete(batch);
    return book;
  }

  shelve(event) {
    this.book(event.batch).set(refOf(event), event);
    this.clock.see(event.hlc);
  }

  on(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /** `pressed`: an entry of this phone's own, just made; else news of any kind. */
  tell(pressed = false) { for (const listener of this.listeners) listener(pressed); }

  /** A new event of this phone: visible at once; `kept` is done when the disk has it. */
  write(draft) {
    if (!this.soleTab) throw new Error('Kettleside is open in another tab; that one writes.');
    const event = this.event(draft);
    const line = canonical(event);
    this.record.seq = event.seq;
    this.own.set(event.seq, line);
    this.unkept.add(event.seq);
    this.shelve(event);
    const kept = this.keep(event.seq, line);
    this.tell(true);
    return { event, kept };
  }

  event({ batch, kind, body, by = this.record.by, for: whom = this.record.for, ago = 0, happened, known = 'pressed', within = 0, ...place }) {
    this.clock.checkJump();
    const recorded = Math.round(this.clock.wall());
    return {
      device: this.record.device, seq: this.record.seq + 1, v: 1, kind, batch, by, body,
      recorded, happened: happened ?? Math.round(recorded - ago), known, within, offset: this.clock.offset, bound: this.clock.bound,
      hlc: this.clock.tick(), ...Object.fromEntries(Object.entries({ ...place, for: whom === by ? '' : whom, signed: by && this.signedAs(by) }).filter(([, value]) => value !== undefined && value !== '')),
    };
  }

  async keep(seq, line) {
    try {
      await this.database.run(['own'], 'readwrite', ({ own }) => { own.put({ seq, line }); });
    } catch (error) {
      this.saving = 'failing';
      this.tell();
      throw error;
    }
    performance.mark('kept');
    this.unkept.delete(seq);
    this.lastKept = Math.max(this.lastKept, seq);
    writeCanary(this.record.device, this.lastKept);
    if (!this.unkept.size) this.saving = 'ok';
    this.tell();
  }

  /** A photo or a sound: its bytes on disk first, then the entry that names them. */
  async keepFile(blob, draft) {
    const bytes = await blob.arrayBuffer(), sha256 = await hashOf(bytes), type = blob.type.split(';')[0];
    await this.database.run(['files', 'phone'], 'readwrite', ({ files, phone }) => {
      files.put({ sha256, type, bytes, at: this.clock.now() });
      this.record.toSend = [...new Set([...this.record.toSend, sha256])];
      phone.put(this.record, 'phone');
    });
    return this.write({ ...draft, body: { sha256, size: bytes.byteLength, type, ...draft.body } });
  }

  file(sha256) { return this.database.file(sha256); }

  /** The shop has it whole. */
  fileSent(sha256) {
    this.record.toSend = this.record.toSend.filter((name) => name !== sha256);
    return this.saveRecord();
  }

  /** Tries again to keep what is only in memory. */
  async retry() {
    for (const seq of [...this.unkept].sort((a, b) => a - b)) await this.keep(seq, this.own.get(seq)).catch(() => {});
  }

  /** Own lines the shop has not named yet, in order, only those the disk has. */
  unsent() {
    const { acked, seq: last } = this.record, found = [];
    for (let seq = firstOutside(acked); seq <= last; seq++) if (this.own.has(seq) && !inRanges(acked, seq) && !this.unkept.has(seq)) found.push(seq);
    return found;
  }

  /** Entries of other phones that the shop has not named yet. */
  carrying() { return [...this.carried.values()].filter(({ said }) => !said); }

  /** `pressed`, `kept`, `carried` or `at the shop`. */
  stageOf(ref) {
    const [device, seq] = ref.split(':');
    if (this.carrying().some((entry) => entry.device === device && entry.seq === Number(seq))) return 'carried';
    if (device !== this.record.device || inRanges(this.record.acked, Number(seq))) return 'at the shop';
    return this.unkept.has(Number(seq)) ? 'pressed' : 'kept';
  }

  status() {
    return {
      saving: this.saving, unkept: this.unkept.size, unsent: this.unsent().length, carried: this.carrying().length, aside: this.record.aside.length,
      persisted: this.record.persisted, soleTab: this.soleTab, wiped: this.wiped,
      installed: this.installed,
    };
  }

  /** What the browser allows here and what is used of it [bytes]; null where it does not say. */
  async room() { return await navigator.storage?.estimate?.().catch(() => null) ?? null; }

  /** The server's answer to a push about this phone's own chain: kept and had leave the outbox. */
  async acknowledge({ kept, had, aside }) {
    for (const range of [...kept, ...had]) this.record.acked = addRange(this.record.acked, range);
    for (const said of aside) {
      this.record.acked = addRange(this.record.acked, [said.seq, said.seq]);
      this.record.aside = [...this.record.aside.filter(({ seq }) => seq !== said.seq), said];
    }
    await this.saveRecord();
    this.tell();
  }

  /** A server restored from an older backup: everything still here is offered again. */
  async renewEpoch(epoch) {
    if (!this.record.epoch || this.record.epoch === epoch) return false;
    Object.assign(this.record, { epoch, acked: [], cursor: 0, offer: true, toSend: await this.database.fileNames() });
    await this.saveRecord();
    return true;
  }

  /** What this phone saw of others, for a restored server: runs of each device's own numbers. */
  async othersRuns() {
    const lines = (await this.database.pages()).flatMap((page) => page.lines);
    return chainsOf(lines.map(numbered)).map(({ entries, ...chain }) => ({ ...chain, lines: entries.map(({ line }) => line) }));
  }

  /** All that was to be offered again has been. */
  offered() {
    this.record.offer = false;
    return this.saveRecord();
  }

  lacksSheets(hashes) { return hashes.filter((hash) => !this.sheets.has(hash)); }

  async addSheet(hash, text) {
    await this.database.run(['sheets'], 'readwrite', ({ sheets }) => { sheets.put(text, hash); });
    this.sheets.set(hash, text);
  }

  /** The shop knows more entries of this phone than it holds itself: it was put back to a copy, and must not use those numbers again. */
  noteKnown(entries) {
    const { device, seq } = this.record;
    if (this.wiped || !entries || entries <= seq) return;
    this.wiped = { device, lost_from: seq + 1, lost_to: entries };
    this.tell();
  }

  /** A pull: lines in pages, with the cursor, in one transaction. */
  async take(header, lines) {
    const known = new Map(this.record.batches.map((batch) => [batch.id, batch]));
    for (const batch of header.batches) known.set(batch.id, batch);
    const { epoch, through, shop, min_start: minStart } = header;
    const { offset, bound, last } = this.clock;
    const pulled = { epoch, shop, minStart, cursor: through, batches: recent([...known.values()]), clock: { offset, bound, last } };
    const fresh = lines.map((line) => JSON.parse(line)).map((event, i) => [event, lines[i]])
      .filter(([event]) => !this.book(event.batch).has(refOf(event)));
    await this.database.run(['phone', 'pages'], 'readwrite', ({ phone, pages }) => {
      for (let i = 0; i < fresh.length; i += PAGE) pages.add({ lines: fresh.slice(i, i + PAGE).map(([, line]) => line) });
      phone.put({ ...this.record, ...pulled }, 'phone');
    });
    Object.assign(this.record, pulled);
    for (const [event] of fresh) this.shelve(event);
    this.tell();
  }
}

/** The shelf, read and ready; `onBlocked` when another tab holds an older one open. */
export const openShelf = (onBlocked) => new Shelf(new Database(onBlocked)).open();
