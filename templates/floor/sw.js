// The worker: keeps one whole build of the app and serves it with or without a network.
const BUILD = '{{ build }}', SHELF = `kettleside-${BUILD}`, SHELL = '/floor/', PACK = '/floor/pack-{{ build }}.json';

/** One answer holds every file; each becomes an entry of this build's cache, or nothing does. */
async function keep() {
  const answer = await fetch(PACK, { cache: 'no-store', credentials: 'omit', redirect: 'error' });
  if (!answer.ok || answer.headers.get('X-Build') !== BUILD) throw new Error(`the pack is not of build ${BUILD}`);
  const files = await answer.json();
  const cache = await caches.open(SHELF);
  await Promise.all(Object.entries(files).map(([path, { type, text, headers }]) =>
    cache.put(path, new Response(text, { headers: { 'Content-Type': type, ...headers } }))));
}

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
  event.waitUntil(keep());
});
self.addEventListener('activate', (event) => event.waitUntil((async () => {
  await Promise.all((await caches.keys()).filter(old).map((name) => caches.delete(name)));
  await self.clients.claim();
})()));
self.addEventListener('message', ({ data }) => { if (data === 'take over') self.skipWaiting(); });
self.addEventListener('fetch', (event) => { if (ours(event.request)) event.respondWith(serve(event.request)); });
