// A battery that runs low is said while there is still time to change phones.

import { t } from '../record/language.js';

const LOW = 15, STEP = 5;

/** What the browser tells of the battery; null in those that tell nothing. */
export async function batteryOf(told) {
  const found = await navigator.getBattery?.().catch(() => null) ?? null;
  for (const name of ['levelchange', 'chargingchange']) found?.addEventListener(name, told);
  return found;
}

/** The bar for it, asked anew after every five per cent. */
export function batteryBar(ctx) {
  const { battery } = ctx, percent = battery ? Math.round(battery.level * 100) : 100, step = Math.floor(percent / STEP);
  if (!battery || battery.charging || percent > LOW || ctx.batterySeen === step) return [];
  return [{ id: 'battery', batch: '', className: 'ring-bar', words: t`Battery ${percent} %: charge it or change phones`, keys: [[t`Seen`, () => { ctx.batterySeen = step; ctx.show(); }]] }];
}
