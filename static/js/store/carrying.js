// Entries of other phones that this one carries to the shop: taken from a file that was handed over
// where there is no network, kept until the shop has named them, and handed on in such a file.

import { canonical } from '../record/canonical.js';
import { eventOn } from '../record/envelope.js';
import { refOf } from '../record/order.js';
import { chainsOf, numbered } from './chains.js';
import { inRanges } from './ranges.js';
import { batchOf, hashOf } from './shelf.js';

const MARK = 'kettleside', VERSION = 1;
const MOST_BYTES = 8 * 2 ** 20, MOST_LINES = 20000;
const DEVICE = /^[a-z0-9]{6,24}$/, HASH = /^([0-9a-f]{64})?$/;

/** A file that is not taken; its message says why. */
export class NotTaken extends Error {}

const bytesOf = (text) => new TextEncoder().encode(text);
const linesHash = (lines) => hashOf(bytesOf(lines.join('\n')));

/** All this phone holds that another may lack: what the shop has not named, and the open boils whole. */
async function linesToHand({ own, unkept, carried, record, database }) {
  const open = new Set(record.batches.filter(({ phase }) => phase === 'open').map(({ id }) => id));
  const mine = [...own].filter(([seq, line]) => !unkept.has(seq) && (!inRanges(record.acked, seq) || open.has(batchOf(line)))).map(([, line]) => line);
  const pulled = (await database.pages()).flatMap(({ lines }) => lines).filter((line) => open.has(batchOf(line)));
  return [...new Set([...mine, ...pulled, ...[...carried.values()].map(({ line }) => line)])];
}

/** The file for another phone: `{name, text, entries, unsent}`. `headAfter(seq)` gives this phone's running head. */
export async function makeFile(shelf, headAfter) {
  const { phone } = shelf, lines = await linesToHand(shelf), chains = chainsOf(lines.map(numbered)), { unsent, carried } = shelf.status();
  const told = await Promise.all(chains.map(async ({ device, from_seq: from, entries }) => ({
    device, from_seq: from, count: entries.length, sha256: await linesHash(entries.map(({ line }) => line)),
    head: device === phone.device ? await headAfter(from + entries.length - 1) : '',
  })));
  const header = { [MARK]: 'entries', v: VERSION, shop: phone.shop?.id ?? '', epoch: phone.epoch, device: phone.device, name: phone.name, chains: told };
  const body = chains.flatMap(({ entries }) => entries.map(({ line }) => line));
  return { name: `${phone.device}-${body.length}.kettleside`, text: `${[canonical(header), ...body].join('\n')}\n`, entries: body.length, unsent: unsent + carried };
}

async function textOf(file) {
  if (file.size > MOST_BYTES) throw new NotTaken(`The file has ${Math.ceil(file.size / 1e6)} MB; at most ${Math.floor(MOST_BYTES / 1e6)} are taken. No phone makes one so large.`);
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(await file.arrayBuffer());
  } catch { throw new NotTaken('This is no file of entries: it is not even text.'); }
}

function headerOn(line) {
  try {
    const header = JSON.parse(line);
    if (header?.[MARK] === 'entries') return header;
  } catch { /* said below, like any other file */ }
  throw new NotTaken('This is no file of entries. Its name ends in .kettleside, and a phone made it under ‘This phone’.');
}

const isChain = (chain) => DEVICE.test(chain?.device) && Number.isSafeInteger(chain.from_seq) && chain.from_seq >= 1
  && Number.isSafeInteger(chain.count) && chain.count >= 1 && HASH.test(chain.sha256) && HASH.test(chain.head);

function checkHeader(shelf, { v, shop, chains, name }, count) {
  if (v !== VERSION) throw new NotTaken('A newer app made this file. Take the newer app on this phone first.');
  if (!shelf.phone.shop) throw new NotTaken('This phone has heard nothing from the shop yet, so it can’t tell whose file this is.');
  if (shop !== shelf.phone.shop.id) throw new NotTaken(`This file is of another shop, not of ${shelf.phone.shop.name}.`);
  if (!Array.isArray(chains) || !chains.every(isChain) || typeof name !== 'string') throw new NotTaken('The head of this file is not as a phone makes it. Let the other phone make it again.');
  if (count > MOST_LINES) throw new NotTaken(`The file has ${count} entries; at most ${MOST_LINES} are taken.`);
  const told = chains.reduce((sum, chain) => sum + chain.count, 0);
  if (told !== count) throw new NotTaken(`The file names ${told} entries and holds ${count}: it was cut short. Hand it over again.`);
}

/** The entries of one chain, each line an event at its place, all of it as the other phone wrote it. */
async function entriesOf({ device, from_seq: from, sha256, head }, lines) {
  if (await linesHash(lines) !== sha256) throw new NotTaken('The file was changed on its way: its sum is another. Hand it over again.');
  return lines.map((line, i) => {
    const event = eventOn(line);
    if (event?.device !== device || event.seq !== from + i) throw new NotTaken(`Entry ${from + i} of phone ${device} is not as a phone makes it. Nothing of the file was taken.`);
    return { device, seq: event.seq, line, event, head: i === lines.length - 1 ? head : '' };
  });
}

/** What a file brings: `{name, entries}`; nothing is kept yet. Throws NotTaken. */
export async function readFile(shelf, file) {
  const [first, ...lines] = (await textOf(file)).trimEnd().split('\n');
  const header = headerOn(first);
  checkHeader(shelf, header, lines.length);
  const entries = [];
  for (const chain of header.chains) entries.push(...await entriesOf(chain, lines.splice(0, chain.count)));
  const lost = entries.find(({ device, seq }) => device === shelf.phone.device && seq > shelf.record.seq);
  if (lost) throw new NotTaken(`The file holds entry ${lost.seq} of this very phone, which it has lost. Let another phone carry it, and tell the office.`);
  return { name: header.name, entries };
}

/** Keeps what this phone lacks, all of it or nothing, and shows it; how many entries that were. */
export async function keepCarried(shelf, entries) {
  const fresh = [];
  for (const entry of entries) {
    const known = shelf.book(entry.event.batch).get(refOf(entry.event));
    if (known && canonical(known) === entry.line) continue;
    const sha256 = await hashOf(bytesOf(entry.line)), { event, ...plain } = entry;
    if (!shelf.carried.has(sha256)) fresh.push({ event: known ? null : event, kept: { ...plain, sha256, at: shelf.now(), said: '' } });
  }
  await shelf.database.run(['carried'], 'readwrite', ({ carried }) => { for (const { kept } of fresh) carried.put(kept); });
  for (const { event, kept } of fresh) {
    shelf.carried.set(kept.sha256, kept);
    // Of two that bear one number the shop decides; until then what was here is shown.
    if (event) shelf.shelve(event);
  }
  shelf.tell();
  return fresh.length;
}

/** Carried entries as chains for the shop. */
export const carriedChains = (shelf) => chainsOf(shelf.carrying());

/** The shop's answer to such a chain: what it named is filed with what came from there, what it set aside
 * stays here with its words. Gives the boils in which something of its own now stands instead. */
export async function nameCarried(shelf, { entries }, { kept, had, aside }) {
  const named = entries.filter(({ seq }) => inRanges([...kept, ...had], seq));
  const refused = entries.flatMap((entry) => aside.filter(({ seq }) => seq === entry.seq).map(({ say }) => ({ ...entry, said: say })));
  await shelf.database.run(['carried', 'pages'], 'readwrite', ({ carried, pages }) => {
    if (named.length) pages.add({ lines: named.map(({ line }) => line) });
    for (const { sha256 } of named) carried.delete(sha256);
    for (const entry of refused) carried.put(entry);
  });
  for (const { sha256 } of named) shelf.carried.delete(sha256);
  for (const entry of refused) shelf.carried.set(entry.sha256, entry);
  const boils = refused.map(({ line }) => unshelve(shelf, line)).filter(Boolean);
  shelf.tell();
  return [...new Set(boils)];
}

/** What the shop does not file is not shown as an entry; the boil is then folded anew. */
function unshelve(shelf, line) {
  const event = JSON.parse(line), ref = refOf(event), book = shelf.book(event.batch);
  if (!book.has(ref) || canonical(book.get(ref)) !== line) return null;
  shelf.books.set(event.batch, new Map([...book].filter(([name]) => name !== ref)));
  return event.batch;
}
