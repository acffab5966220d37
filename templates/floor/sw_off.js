// The worker that takes the worker away: the app's kept files go, what people recorded stays.
self.addEventListener('install', () => self.skipWaiting());
self.addEventListener('activate', (event) => event.waitUntil((async () => {
  const ours = (await caches.keys()).filter((name) => name.startsWith('kettleside-'));
  await Promise.all(ours.map((name) => caches.delete(name)));
  await self.registration.unregister();
  for (const client of await self.clients.matchAll({ type: 'window' })) client.navigate(client.url);
})()));
