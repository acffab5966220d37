// Whether this phone keeps the whole app: every file of this build, byte for byte, out of the worker's
// cache. The network is never asked.

import { hashOf } from '../store/shelf.js';
import { BUILD } from './condition.js';

const SHELF = `kettleside-${BUILD}`, LIST = `/floor/kept-${BUILD}.json`, PACK = `/floor/pack-${BUILD}.json`, REST = `/floor/rest-${BUILD}.json`;

/** Whether the cache has it and the worker gives it, as the list says (the first figures of its SHA-256). */
async function isKept(cache, path, sum) {
  if (!await cache.match(path)) return false;
  const answer = await fetch(path, { cache: 'only-if-cached', mode: 'same-origin' }).catch(() => null);
  return Boolean(answer?.ok) && (await hashOf(await answer.arrayBuffer())).startsWith(sum);
}

/** `{files, lacking}`: how many the app has, and paths of those that are not here or are not whole. */
export async function keptFiles() {
  if (!navigator.serviceWorker?.controller || !await caches.has(SHELF)) return { files: 0, lacking: ['/floor/sw.js'] };
  const cache = await caches.open(SHELF), list = await cache.match(LIST);
  if (!list) return { files: 0, lacking: [LIST] };
  const sums = Object.entries(await list.json());
  const here = await Promise.all(sums.map(([path, sum]) => isKept(cache, path, sum)));
  return { files: sums.length, lacking: sums.filter((_, i) => !here[i]).map(([path]) => path) };
}

/** Brings again what is lacking. Throws where the shop can't be reached or runs another build by now. */
export async function mend(keepRest) {
  const cache = await caches.open(SHELF), answer = await fetch(PACK, { cache: 'no-store' });
  if (!answer.ok) throw new Error(await answer.text());
  for (const [path, { type, text, headers }] of Object.entries(await answer.json()))
    await cache.put(path, new Response(text, { headers: { 'Content-Type': type, ...headers } }));
  // The worker brings the rest anew when it does not find that it has.
  await cache.delete(REST);
  await keepRest();
}
