// Whether this browser's disk can be relied on: tried, not asked.

import { Database } from './database.js';

const KEY = 'proof';

const got = (request) => new Promise((done, fail) => {
  request.onsuccess = () => done(request.result);
  request.onerror = () => fail(request.error);
});

/** Whether what one strict transaction wrote is read back over another connection. Throws what the disk says. */
export async function writesBack(database) {
  const mark = crypto.randomUUID(), other = new Database();
  await database.run(['phone'], 'readwrite', ({ phone }) => { phone.put(mark, KEY); });
  const found = await other.run(['phone'], 'readonly', ({ phone }) => got(phone.get(KEY)));
  await other.reopen();
  await database.run(['phone'], 'readwrite', ({ phone }) => { phone.delete(KEY); });
  return found === mark;
}

/** The browser's promise to keep the data: asked for where it is not given yet; null where it knows no such promise. */
export async function promised() {
  const { storage } = navigator;
  if (!storage?.persist) return null;
  return await storage.persisted() || storage.persist();
}
