// The phone's database: the one place that knows its schema and answers its four events.

const NAME = 'kettleside', VERSION = 3;
const TRIES = 3;

/** Stores: `phone` (one record), `own` (this phone's lines by seq), `pages` (pulled lines, packed),
 * `sheets`, `files` (photos and sounds by the hash of their bytes), `carried` (lines of other phones
 * that the shop has not named yet, by their own hash). */
function upgrade(db, from) {
  if (from < 1) {
    db.createObjectStore('phone');
    db.createObjectStore('own', { keyPath: 'seq' });
    db.createObjectStore('pages', { autoIncrement: true });
    db.createObjectStore('sheets');
  }
  if (from < 2) db.createObjectStore('files', { keyPath: 'sha256' });
  if (from < 3) db.createObjectStore('carried', { keyPath: 'sha256' });
}

const settled = (request) => new Promise((done, fail) => {
  request.onsuccess = () => done(request.result);
  request.onerror = () => fail(request.error);
});

/** A connection that opens itself again: iOS loses it on wake, and eviction closes it. */
export class Database {
  constructor(onBlocked = () => {}) {
    this.onBlocked = onBlocked;
    this.opening = this.db = null;
  }

  open() {
    this.opening ??= new Promise((done, fail) => {
      const request = indexedDB.open(NAME, VERSION);
      request.onupgradeneeded = (event) => upgrade(request.result, event.oldVersion);
      request.onblocked = () => this.onBlocked();
      request.onerror = () => fail(request.error);
      request.onsuccess = () => {
        const db = request.result;
        db.onversionchange = () => { db.close(); this.opening = this.db = null; };
        db.onclose = () => { this.opening = this.db = null; };
        this.db = db;
        done(db);
      };
    }).catch((error) => { this.opening = null; throw error; });
    return this.opening;
  }

  /** Runs `work(stores)` in one strict transaction; done only when the disk has it. */
  once(names, mode, work) {
    // An open database begins within the press itself, not a turn later.
    return this.db ? this.begin(this.db, names, mode, work) : this.open().then((db) => this.begin(db, names, mode, work));
  }

  begin(db, names, mode, work) {
    return new Promise((done, fail) => {
      const transaction = db.transaction(names, mode, { durability: 'strict' });
      const stores = Object.fromEntries(names.map((name) => [name, transaction.objectStore(name)]));
      let result;
      transaction.oncomplete = () => done(result);
      transaction.onabort = () => fail(transaction.error ?? new DOMException('aborted', 'AbortError'));
      Promise.resolve(work(stores)).then((value) => { result = value; }, fail);
      // All that is written is asked for by now: the disk need not hear that again from a busy page.
      if (mode === 'readwrite') transaction.commit();
    });
  }

  /** `once`, up to three times, with a new connection after each failure. */
  async run(names, mode, work) {
    for (let n = 1; ; n++) {
      try {
        return await this.once(names, mode, work);
      } catch (error) {
        if (n === TRIES) throw error;
        await this.reopen();
      }
    }
  }

  async reopen() {
    const old = this.opening;
    this.opening = this.db = null;
    try { (await old)?.close(); } catch { /* it never opened, or is closed already */ }
  }

  /** Pulled lines as they came, page by page. */
  pages() { return this.run(['pages'], 'readonly', ({ pages }) => settled(pages.getAll())); }

  file(sha256) { return this.run(['files'], 'readonly', ({ files }) => settled(files.get(sha256))); }
  fileNames() { return this.run(['files'], 'readonly', ({ files }) => settled(files.getAllKeys())); }

  /** Everything in the database, for the start of the app. */
  load() {
    return this.run(['phone', 'own', 'pages', 'sheets', 'carried'], 'readonly', async ({ phone, own, pages, sheets, carried: others }) => {
      const [record, lines, packed, carried, hashes, bodies] = await Promise.all([
        settled(phone.get('phone')), settled(own.getAll()), settled(pages.getAll()), settled(others.getAll()),
        settled(sheets.getAllKeys()), settled(sheets.getAll()),
      ]);
      return { record, lines, carried, pages: packed, sheets: new Map(hashes.map((hash, i) => [hash, bodies[i]])) };
    });
  }
}
