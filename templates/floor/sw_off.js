// The worker that takes the worker away: the app's kept files go, what people recorded stays.
// Chromium can miss one asking while the old worker still answers: it is asked until it is heard.
const skip = () => self.skipWaiting();
self.addEventListener('install', () => { skip(); setInterval(skip, 1000); });
self.addEventListener('activate', (event) => event.waitUntil((async () => {
  const ours = (await caches.keys()).filter((name) => name.startsWith('kettleside-'));
  await Promise.all(ours.map((name) => caches.delete(name)));
  await self.registration.unregister();
  for (const client of await self.clients.matchAll({ type: 'window' })) client.navigate(client.url);
})()));
