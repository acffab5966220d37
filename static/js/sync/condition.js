// What the office wants to know of this phone.

const STEP = 5;

/** The build's own folder, from this module's address. */
export const BUILD = import.meta.url.match(/\/app\/([^/]+)\//)?.[1] ?? 'not built';

/** The battery in steps of five: each step is a message. Only some browsers tell it. */
async function battery() {
  const found = await navigator.getBattery?.().catch(() => null);
  return found ? { battery: Math.round(found.level * 100 / STEP) * STEP, charging: Number(found.charging) } : {};
}

export async function condition(shelf, app) {
  const { unsent, carried, installed } = shelf.status(), { station, batch, by, ready: tried } = shelf.record;
  return { app, build: BUILD, station, batch, by, held: unsent + carried, files: shelf.record.toSend.length, installed: Number(installed), ...(tried && { tried }), ...await battery() };
}
