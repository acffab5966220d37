// First script of the shell. The first visit waits until the worker holds the whole app, so that
// every module comes from one answer; later starts find it there, with or without a network.

import { whenControlled } from './sync/updates.js';

const waiting = document.getElementById('waiting');

/** All modules are asked for together: one by one they would wait for each other. In the shell's
 * own head they would hold back the first frame. */
function preload() {
  const modules = document.querySelector('meta[name=modules]')?.content.split(' ') ?? [];
  document.head.append(...modules.map((href) => Object.assign(document.createElement('link'), { rel: 'modulepreload', href })));
}

async function start() {
  try {
    await whenControlled();
  } catch (error) {
    waiting.textContent = `This browser can’t keep Kettleside without a network: ${error.message}. Open it by the shop’s https address, or on this computer as localhost.`;
    waiting.classList.add('alarm');
    return;
  }
  preload();
  const opened = import('./store/shelf.js').then(({ openShelf }) => openShelf());
  const [{ startApp }, shelf] = await Promise.all([import('./screens/main.js'), opened]);
  await startApp(shelf);
}

start().catch((error) => { waiting.textContent = `Kettleside can’t start: ${error.message}`; });
