// First script of the shell. The first visit waits until the worker holds the whole app, so that
// every module comes from one answer; later starts find it there, with or without a network.

import { whenControlled } from './sync/updates.js';

const waiting = document.getElementById('waiting');

/** What a station needs is asked for together: one by one they would wait for each other. In the
 * shell's own head they would hold back the first frame. */
function preload() {
  const modules = document.querySelector('meta[name=modules]')?.content.split(' ') ?? [];
  document.head.append(...modules.map((href) => Object.assign(document.createElement('link'), { rel: 'modulepreload', href })));
}

/** The first visit's shell leaves its style to the worker's one answer. */
function dress() {
  const href = document.querySelector('meta[name=sheet]')?.content;
  if (!href) return Promise.resolve();
  const link = Object.assign(document.createElement('link'), { rel: 'stylesheet', href });
  document.head.append(link);
  return new Promise((done) => { link.onload = link.onerror = done; });
}

async function start() {
  try {
    // Where the shop switched the worker off, the app comes over the network; its data stays here.
    if (document.querySelector('meta[name=worker]')?.content !== 'off') await whenControlled();
  } catch (error) {
    waiting.textContent = `This browser can’t keep Kettleside without a network: ${error.message}.`;
    waiting.classList.add('alarm');
    return;
  }
  // The disk is asked first: it answers while the rest is on its way.
  const { openShelf } = await import('./store/shelf.js');
  const opened = openShelf(() => { waiting.textContent = 'Close Kettleside in its other tabs, so that this newer one can start.'; });
  opened.then(({ record }) => { document.documentElement.dataset.light = record.light ?? ''; }, () => {});
  preload();
  const [{ start: startFloor }, shelf] = await Promise.all([import('./screens/floor.js'), opened, dress()]);
  await startFloor(shelf);
}

start().catch((error) => { waiting.textContent = `Kettleside can’t start: ${error.message}`; });
