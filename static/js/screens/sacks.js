// All lots of a station, to be said or taken back: another sack beside the first, fat against foam.

import { t } from '../record/language.js';
import { materialsAt } from './lots.js';
import { panel } from './panel.js';

export function sacksPanel(ctx, batch, station) {
  const sheet = ctx.sheet(batch), { lots } = ctx.state(batch), { steps } = sheet.stations.find(({ id }) => id === station);
  const write = (kind, body) => ctx.write({ batch, kind, station, body });
  const choice = (material, { id, words }) => {
    const there = lots.find((used) => used.material === material.id && used.lot === id);
    if (there) return [`✓ ${material.name} ${words}`, () => write('struck', { target: there.ref, reason: 'not this lot' }), 'go'];
    return [`${material.name} ${words}`, () => write('lot_used', { material: material.id, lot: id, also: 1 })];
  };
  panel({
    title: t`From which lots?`, lead: t`One press for each that goes in; one that is marked is taken back.`,
    choices: materialsAt(sheet, steps, true).flatMap((material) => material.lots.map((lot) => choice(material, lot))),
  });
}
