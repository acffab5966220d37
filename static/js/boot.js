// First script of the shell. The first visit waits until the worker holds the whole app, so that
// every module comes from one answer; later starts find it there, with or without a network.

import { whenControlled } from './sync/updates.js';

const waiting = document.getElementById('waiting');

async function start() {
  try {
    await whenControlled();
  } catch (error) {
    waiting.textContent = `This browser can’t keep Kettleside without a network: ${error.message}. Open it by the shop’s https address, or on this computer as localhost.`;
    waiting.classList.add('alarm');
    return;
  }
  const { startApp } = await import('./screens/main.js');
  await startApp();
}

start().catch((error) => { waiting.textContent = `Kettleside can’t start: ${error.message}`; });
