// Entries of other phones on their way to the shop: each as a chain of the phone that made it.

import { carriedChains, nameCarried } from '../store/carrying.js';
import { APP } from './exchange.js';
import { Refused } from './wire.js';

const MOST = 500, LATER_MS = 60000;
const OUR_OWN = ['no-token', 'wrong-token', 'locked-out'];

/** Chains that the shop can't take yet, or would not: not asked about again within a minute. */
const later = new Map();

/** Sends what is carried, after this phone's own; one chain that fails holds up nothing else. */
export async function sendCarried(exchange) {
  for (const { device, from_seq: first, entries } of carriedChains(exchange.shelf)) {
    for (let i = 0; i < entries.length; i += MOST) {
      const part = { device, from_seq: first + i, entries: entries.slice(i, i + MOST) };
      if (!await sendPart(exchange, part)) break;
    }
  }
}

/** Whether the shop named all of it. */
async function sendPart(exchange, part) {
  const { device, from_seq: from, entries } = part, name = `${device}:${from}+${entries.length}`;
  if (later.get(name) > performance.now()) return false;
  const answer = await push(exchange, part);
  if (!answer || await exchange.shelf.renewEpoch(answer.epoch)) { later.set(name, performance.now() + LATER_MS); return false; }
  const boils = await nameCarried(exchange.shelf, part, answer.answers[0]);
  // What the shop has instead comes now, or when somebody opens the boil.
  for (const batch of boils) await exchange.fetchBatch(batch).catch(() => {});
  const all = answer.answers[0].expect >= from + entries.length;
  if (!all) later.set(name, performance.now() + LATER_MS);
  return all;
}

/** The shop's answer; null where it refuses this one message. */
async function push(exchange, { device, from_seq: from, entries }) {
  const { shelf } = exchange, chain = { device, from_seq: from, lines: entries.map(({ line }) => line), head: entries.at(-1).head };
  try {
    return JSON.parse(await exchange.timed('push', { token: shelf.token, message: { app: APP, epoch: shelf.phone.epoch, chains: [chain] } }));
  } catch (error) {
    if (!(error instanceof Refused) || OUR_OWN.includes(error.code)) throw error;
    return null;
  }
}
