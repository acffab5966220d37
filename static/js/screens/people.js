// Who presses: a list, one press; two from any screen.

import { row, stamp } from './dom.js';

export function peopleScreen(ctx) {
  const { root, at } = stamp('list');
  at.title.textContent = 'Who presses?';
  let shown = '';
  const people = () => ctx.boils().map(({ id }) => ctx.shelf.sheet(id)).find(Boolean)?.people ?? ctx.shelf.phone.shop?.people ?? [];
  const choose = (id) => {
    const cameFrom = location.hash === '#/people';
    ctx.shelf.setPhone({ by: id });
    if (cameFrom) history.back(); else ctx.show();
  };
  function update() {
    const now = people(), text = JSON.stringify(now);
    if (text === shown) return;
    shown = text;
    at.lead.textContent = now.length ? 'Every entry bears this name until it is changed.' : 'The office has not named anybody yet.';
    at.rows.replaceChildren(...now.map(({ id, name, role }) => row({ what: name, more: role, press: () => choose(id) })));
  }
  return { root, update, where: () => 'People' };
}
