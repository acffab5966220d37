// First script of the shell: has the worker keep the whole app, then starts it.

import { startApp } from './screens/main.js';
import { whenControlled } from './sync/updates.js';

const waiting = document.getElementById('waiting');

if (!('serviceWorker' in navigator)) {
  waiting.textContent = 'This browser can’t keep Kettleside without a network here. Open it by the shop’s https address, or on this computer as localhost.';
}
const start = () => startApp().catch((error) => { waiting.textContent = `Kettleside can’t start: ${error.message}`; });
start();
whenControlled().catch((error) => { console.warn('no worker', error); });
