// The worker that keeps the app, and a newer app that waits for a safe point.

import { t } from '../record/language.js';

const registered = () => navigator.serviceWorker.register('/floor/sw.js', { scope: '/floor/', updateViaCache: 'none' });

/** Registers the worker; done when it controls this page. Throws where no worker is possible, saying why. */
export async function whenControlled() {
  if (!isSecureContext) throw new Error('this address is not encrypted. Open it by the shop’s https address, or on this computer as localhost');
  if (!('serviceWorker' in navigator)) throw new Error('it has no worker here. Not in a private window; else another browser');
  // Looking for a newer worker can wait until the app stands. Registering would bring back one that goes.
  if (navigator.serviceWorker.controller) { setTimeout(() => navigator.serviceWorker.getRegistration('/floor/').then((found) => found?.update()).catch(() => {}), 3000); return; }
  await registered().catch((error) => { throw new Error(error.name === 'SecurityError' ? 'it does not trust the shop’s certificate: a warning was only clicked past. Do the first visit’s steps again' : error.message); });
  if (navigator.serviceWorker.controller) return;
  await new Promise((done) => navigator.serviceWorker.addEventListener('controllerchange', done, { once: true }));
}

/** Whether this phone keeps the app, in words for its screen. */
export const keepingWords = () => (navigator.serviceWorker?.controller ? [t`This phone keeps Kettleside`, t`It starts without a network.`] : [t`This phone does not keep Kettleside`, t`It starts only where the shop can be reached.`]);

/** The worker keeps what a first visit did without; done when all of the app is here, or could not be had. */
function keepRest() {
  const worker = navigator.serviceWorker?.controller;
  if (!worker) return Promise.resolve();
  const { port1, port2 } = new MessageChannel();
  worker.postMessage('the rest', [port2]);
  return new Promise((done) => { port1.onmessage = () => done(); });
}

/** `ready()`: a newer app waits. `apply()`: take it now; only called at a safe point. */
export function watchForUpdate(onReady = () => {}) {
  let waiting = null;
  const found = (worker) => { waiting = worker; onReady(); };
  const look = async () => {
    const registration = await navigator.serviceWorker?.getRegistration('/floor/');
    if (!registration) return;
    if (registration.waiting) found(registration.waiting);
    registration.addEventListener('updatefound', () => {
      const worker = registration.installing;
      worker.addEventListener('statechange', () => { if (worker.state === 'installed' && navigator.serviceWorker.controller) found(worker); });
    });
    addEventListener('visibilitychange', () => { registration.update().catch(() => {}); });
  };
  look();
  addEventListener('online', keepRest);
  return {
    keepRest,
    ready: () => Boolean(waiting),
    apply: () => {
      navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
      waiting?.postMessage('take over');
    },
  };
}
