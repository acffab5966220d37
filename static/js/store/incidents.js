// Notes for the shop's restricted record: in this phone's own record until the shop has them, then
// gone from it. They are no entries: no boil, file for another phone or record holds a word of them.

const hex = (bytes) => [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');

/** Those that wait, the first written first. */
export const waiting = (shelf) => shelf.record.incidents ?? [];

/** Those for the shop that this phone is of now, and that it has not refused: another shop's are none of its business. */
export const toSend = (shelf) => waiting(shelf).filter(({ shop, say }) => (!shop || shop === shelf.phone.shop?.id) && !say);

/** Writes the record with other notes; in memory at once, so that whoever writes it next keeps them. */
async function put(shelf, change) {
  shelf.record.incidents = change(waiting(shelf));
  const record = structuredClone(shelf.record);
  await shelf.database.run(['phone'], 'readwrite', ({ phone }) => { phone.put(record, 'phone'); });
  shelf.tell();
}

const without = (id) => (notes) => notes.filter((note) => note.id !== id);

/** Keeps a note; its id, once the disk has it. Throws where it can't be kept: then it is nowhere. */
export async function keepIncident(shelf, { kind, text, minutes }) {
  const id = hex(crypto.getRandomValues(new Uint8Array(16)));
  const note = { id, kind, text, happened: Math.round(shelf.now() - minutes * 60000), shop: shelf.phone.shop?.id ?? '' };
  try {
    await put(shelf, (notes) => [...notes, note]);
  } catch (error) {
    shelf.record.incidents = without(id)(waiting(shelf));
    throw error;
  }
  return id;
}

/** The shop has it. */
export const forgetIncident = (shelf, id) => put(shelf, without(id));

/** The shop would not take it, and says why; it stays here and is shown. */
export const asideIncident = (shelf, id, say) => put(shelf, (notes) => notes.map((note) => (note.id === id ? { ...note, say } : note)));
