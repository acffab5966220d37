// What leaves the phone after a month: by then the shop has it, and has taken its backups. Until
// then everything stays, so that a restored shop gets it again.

import { inRanges } from './ranges.js';
import { PAGE, batchOf } from './shelf.js';

const KEEP_MS = 30 * 24 * 3600000;

export async function forget(shelf, now = shelf.now()) {
  if (!shelf.soleTab || shelf.record.offer) return;
  const before = now - KEEP_MS;
  await forgetOwn(shelf, before);
  await forgetEnded(shelf, before);
  await forgetFiles(shelf, before);
  await forgetRefused(shelf, before);
}

/** Own lines that the shop has named. */
async function forgetOwn({ database, own, record }, before) {
  const old = [...own].filter(([seq, line]) => inRanges(record.acked, seq) && JSON.parse(line).recorded < before).map(([seq]) => seq);
  if (!old.length) return;
  await database.run(['own', 'phone'], 'readwrite', (stores) => {
    for (const seq of old) stores.own.delete(seq);
    // The next number is remembered beside the lines: it must never come again.
    stores.phone.put(record, 'phone');
  });
  for (const seq of old) own.delete(seq);
}

/** Boils that ended; the shop gives one back when somebody asks. */
async function forgetEnded({ database, record }, before) {
  const open = new Set(record.batches.filter(({ phase }) => phase === 'open').map(({ id }) => id));
  const read = (await database.pages()).flatMap(({ lines }) => lines.map((line) => [line, batchOf(line)]));
  const newest = new Map();
  for (const [line, batch] of read) if (!open.has(batch)) newest.set(batch, Math.max(newest.get(batch) ?? 0, JSON.parse(line).recorded));
  const left = read.filter(([, batch]) => open.has(batch) || newest.get(batch) >= before).map(([line]) => line);
  if (left.length === read.length) return;
  await database.run(['pages'], 'readwrite', ({ pages }) => {
    pages.clear();
    for (let i = 0; i < left.length; i += PAGE) pages.add({ lines: left.slice(i, i + PAGE) });
  });
}

/** Photos and sounds that were sent. */
async function forgetFiles({ database, record }, before) {
  for (const name of await database.fileNames()) {
    const { at } = await database.file(name);
    if (at < before && !record.toSend.includes(name)) await database.run(['files'], 'readwrite', ({ files }) => { files.delete(name); });
  }
}

/** Carried entries that the shop set aside: it has them there. */
async function forgetRefused({ database, carried }, before) {
  const old = [...carried.values()].filter(({ said, at }) => said && at < before);
  if (!old.length) return;
  await database.run(['carried'], 'readwrite', ({ carried: store }) => { for (const { sha256 } of old) store.delete(sha256); });
  for (const { sha256 } of old) carried.delete(sha256);
}
