const FILES = ['./', 'page.css', 'page.js'];
self.addEventListener('install', (e) => e.waitUntil(caches.open('floor').then((c) => c.addAll(FILES)).then(() => self.skipWaiting())));
self.addEventListener('activate', (e) => e.waitUntil(self.clients.claim()));
self.addEventListener('fetch', (e) => e.respondWith(caches.match(e.request, { ignoreSearch: true }).then((kept) => kept ?? fetch(e.request))));
