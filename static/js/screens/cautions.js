// The cautions, read together once before anything is hot.

import { t } from '../record/language.js';
import { isFinished } from '../record/steps.js';
import { key, row, stamp, toggle } from './dom.js';

export function cautionsScreen(ctx, batch) {
  const { root, at } = stamp('list');
  const sheet = ctx.sheet(batch);
  const there = new Set(ctx.state(batch).crew.map(({ id }) => id));
  at.title.textContent = t`Cautions`;
  at.rows.append(...sheet.hazards.map(({ words, why }) => row({ what: words, more: why })));
  at.rows.classList.add('cautions');
  const place = () => `/b/${batch}/${ctx.shelf.phone.station || ''}`;
  function read() {
    ctx.write({ batch, kind: 'hazards_read', body: { people: [...there].sort() } });
    const state = ctx.state(batch), step = sheet.order_of_steps.find((id) => sheet.steps[id].together && !isFinished(state, id));
    if (step) ctx.write({ batch, kind: 'step_done', station: sheet.steps[step].station, step, body: state.steps[step] ? { after: state.steps[step].ref } : {} });
    ctx.go(place());
  }
  const names = () => ctx.state(batch).crew.map(({ id, name }) => toggle(name, there.has(id), (on) => { on ? there.add(id) : there.delete(id); }));
  let shown;
  function update() {
    const { hazards } = ctx.state(batch);
    const words = hazards ? t`Read by ${hazards.people.map((id) => ctx.name(sheet, id)).join(', ')}.` : t`One reads aloud, all answer. Local rules and your site’s own come first.`;
    if (words === shown) return;
    shown = words;
    at.lead.textContent = words;
    at.feet.replaceChildren(...names(), key(t`Read together`, read, 'go wide'), key(t`Back`, () => ctx.go(place()), 'wide'));
  }
  return { root, batch, update, up: `/b/${batch}`, where: () => t`Cautions` };
}
