// The cautions, read together once before anything is hot.

import { key, row, stamp } from './dom.js';

export function cautionsScreen(ctx, batch) {
  const { root, at } = stamp('list');
  const sheet = ctx.shelf.sheet(batch);
  const crew = () => ctx.state(batch).crew.map(({ id }) => id);
  at.title.textContent = 'Cautions';
  at.rows.append(...sheet.hazards.map(({ words, why }) => row({ what: words, more: why, press: () => {} })));
  const read = () => {
    ctx.write({ batch, kind: 'hazards_read', body: { people: crew() } });
    const { station } = ctx.shelf.phone;
    ctx.go(`/b/${batch}/${station || ''}`);
  };
  let shown;
  function update() {
    const { hazards } = ctx.state(batch);
    const words = hazards ? `Read by ${hazards.people.map((id) => ctx.name(sheet, id)).join(', ')}.` : 'One reads aloud, everybody answers. Local codes and your site’s rules come first.';
    if (words === shown) return;
    shown = words;
    at.lead.textContent = words;
    at.feet.replaceChildren(key('Read together', read, 'go'), key('Back', () => ctx.go(`/b/${batch}`)));
  }
  return { root, batch, update, where: () => 'Cautions' };
}
