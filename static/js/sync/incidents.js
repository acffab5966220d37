// Notes for the shop's restricted record, one by one; each leaves the phone when the shop has named it.

import { asideIncident, forgetIncident, toSend } from '../store/incidents.js';
import { Refused } from './wire.js';

const NO_NOTE = ['shape', 'text', 'too-big'];

export async function sendIncidents(exchange) {
  const { shelf } = exchange;
  for (const { id, kind, happened, text } of toSend(shelf)) {
    try {
      const { kept } = JSON.parse(await exchange.timed('incident', { token: shelf.token, message: { id, kind, happened, text } }));
      if (kept !== id) throw new TypeError(`the shop named ${kept}, not ${id}`);
      await forgetIncident(shelf, id);
    } catch (error) {
      if (!(error instanceof Refused) || !NO_NOTE.includes(error.code)) throw error;
      await asideIncident(shelf, id, error.message);
    }
  }
}
