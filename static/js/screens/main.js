// Starts the floor on the real shelf and exchange.

import { startExchange } from '../sync/exchange.js';
import { watchForUpdate } from '../sync/updates.js';
import { start } from './floor.js';

/** `shelf`: opened while these modules were still on their way. */
export async function startApp(shelf) {
  start(shelf, startExchange(shelf), watchForUpdate(() => shelf.tell(null)));
}
