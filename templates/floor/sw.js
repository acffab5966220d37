// The worker: keeps one whole build of the app and serves it with or without a network.
const BUILD = '{{ build }}', SHELF = `kettleside-${BUILD}`, SHELL = '/floor/', PACK = '/floor/pack-{{ build }}.json', REST = '/floor/rest-{{ build }}.json';

/** One answer holds many files; each becomes an entry of this build's cache, or nothing does. */
async function keep(pack) {
  const answer = await fetch(pack, { cache: 'no-store', credentials: 'omit', redirect: 'error' });
  if (!answer.ok || answer.headers.get('X-Build') !== BUILD) throw new Error(`the pack is not of build ${BUILD}`);
  const files = await answer.json();
  const cache = await caches.open(SHELF);
  await Promise.all(Object.entries(files).map(([path, { type, text, headers, coded }]) =>
    cache.put(path, new Response(coded ? Uint8Array.from(atob(text), (c) => c.charCodeAt(0)) : text, { headers: { 'Content-Type': type, ...headers } }))));
}

async function bringRest() {
  const cache = await caches.open(SHELF);
  if (await cache.match(REST)) return;
  await keep(REST);
  await cache.put(REST, new Response('kept'));
}

let coming = null;

/** What no first visit needs: fetched once, however many ask while it comes. */
function keepRest() {
  coming ??= bringRest().finally(() => { coming = null; });
  return coming;
}

const skip = () => self.skipWaiting();
const old = (name) => name.startsWith('kettleside-') && name !== SHELF;

/** The shell for every page of the floor; a kept file for its own path; else the network. */
async function serve(request) {
  const { pathname } = new URL(request.url);
  const cache = await caches.open(SHELF);
  const kept = await cache.match(request.mode === 'navigate' ? SHELL : pathname);
  return kept ?? fetch(request);
}

const ours = ({ method, url, mode }) => {
  const { origin, pathname } = new URL(url);
  if (method !== 'GET' || origin !== location.origin) return false;
  return mode === 'navigate' ? pathname.startsWith('/floor/') : pathname.startsWith('/static/app/') || pathname.startsWith('/floor/');
};

// Where the browser can, it takes the app's files from the cache without waking this worker.
const straight = { condition: { urlPattern: '/static/app/*' }, source: { cacheName: SHELF } };

self.addEventListener('install', (event) => {
  if (event.addRoutes) event.waitUntil(event.addRoutes(straight).catch(() => {}));
  // A newer build is whole before it takes over: it may do that without a network.
  event.waitUntil(Promise.all([keep(PACK), self.registration.active && keepRest()]));
});
self.addEventListener('activate', (event) => event.waitUntil((async () => {
  await Promise.all((await caches.keys()).filter(old).map((name) => caches.delete(name)));
  await self.clients.claim();
})()));
self.addEventListener('message', (event) => {
  // Chromium can miss one asking while the old worker still answers: it is asked until it is heard.
  if (event.data === 'take over') { skip(); setInterval(skip, 1000); }
  const told = () => event.ports[0].postMessage('');
  if (event.data === 'the rest') event.waitUntil(keepRest().then(told, told));
});
self.addEventListener('fetch', (event) => { if (ours(event.request)) event.respondWith(serve(event.request)); });
