// Who presses: a list, one press; two from any screen. A PIN once, before anything is hot.

import { isHot } from './context.js';
import { key, row, stamp } from './dom.js';
import { panel } from './panel.js';
import { pinPanel } from './pin.js';
import { clock } from './times.js';

const HOW = { shop: 'signed in', phone: 'signed in on this phone' };

export function peopleScreen(ctx) {
  const { root, at } = stamp('list');
  const { shelf } = ctx;
  at.title.textContent = 'Who presses?';
  let shown = '';
  const people = () => ctx.people(ctx.boils().map(({ id }) => shelf.sheet(id)).find(Boolean));
  const pinOf = (id) => shelf.crew().find((person) => person.id === id)?.pin ?? '';
  /** Between lit and last cut nobody is asked for a PIN: hands are hot. Before a phone stands anywhere, any boil counts. */
  function hot() {
    const boils = ctx.boils(), own = boils.filter(({ id }) => id === shelf.phone.batch);
    return (own.length ? own : boils).some(({ id }) => isHot(shelf.sheet(id), ctx.state(id)));
  }

  function take(id) {
    const cameFrom = location.hash === '#/people';
    shelf.setPhone({ by: id, for: '' });
    if (cameFrom) history.back(); else ctx.show();
  }
  function choose({ id, name }) {
    if (!pinOf(id) || hot() || shelf.signedAs(id)) { take(id); return; }
    pinPanel(ctx, { id, name, done: () => take(id) });
  }
  function whom() {
    const { by, for: now } = shelf.record;
    panel({
      title: 'Press for whom?', lead: 'Both names stand in the record.',
      choices: [
        ...people().filter(({ id }) => id !== by).map(({ id, name }) => [name, () => { shelf.setPhone({ for: id }); history.back(); }]),
        ...(now ? [['For nobody else', () => shelf.setPhone({ for: '' }), 'go']] : []),
      ],
    });
  }
  function more({ id, role }) {
    const how = shelf.signedAs(id);
    return [role, how ? `${HOW[how]} ${clock(shelf.record.signed[id].at)}` : !pinOf(id) ? 'no PIN' : hot() ? 'not signed in' : 'PIN'].join(', ');
  }
  function lead(now) {
    if (!now.length) return 'The office has not named anybody yet.';
    const whomName = now.find(({ id }) => id === shelf.record.for)?.name;
    if (whomName) return `Pressing for ${whomName} until this is changed.`;
    return hot() ? 'Hot: one press, no PIN.' : 'Every entry bears this name until it is changed.';
  }
  function update() {
    const now = people(), lines = now.map((person) => ({ what: person.name, more: more(person), press: () => choose(person) }));
    const text = JSON.stringify([lines, lead(now), shelf.record.by]);
    if (text === shown) return;
    shown = text;
    at.lead.textContent = lead(now);
    at.rows.replaceChildren(...lines.map(row));
    at.feet.replaceChildren(...(shelf.record.by && now.length > 1 ? [key('Press for somebody else', whom)] : []));
  }
  // The office may have named somebody or changed a PIN since.
  ctx.exchange.askOffice();
  return { root, update, where: () => 'People' };
}
