// Who presses: a list, one press; two from any screen. A PIN once, before anything is hot.

import { t } from '../record/language.js';
import { isHot } from './context.js';
import { key, row, stamp } from './dom.js';
import { panel } from './panel.js';
import { clock } from './times.js';

const HOW = { shop: /*t*/'signed in', phone: /*t*/'signed in on this phone' };

export function peopleScreen(ctx) {
  const { root, at } = stamp('list');
  const { shelf } = ctx;
  at.title.textContent = t`Who presses?`;
  let shown = '';
  const people = () => ctx.people(ctx.boils().map(({ id }) => ctx.sheet(id)).find(Boolean));
  const pinOf = (id) => shelf.crew().find((person) => person.id === id)?.pin ?? '';
  /** Between lit and last cut nobody is asked for a PIN: hands are hot. Before a phone stands anywhere, any boil counts. */
  function hot() {
    const boils = ctx.boils(), own = boils.filter(({ id }) => id === shelf.phone.batch);
    return (own.length ? own : boils).some(({ id }) => isHot(ctx.sheet(id), ctx.state(id)));
  }

  function take(id) {
    const cameFrom = location.hash === '#/people';
    shelf.setPhone({ by: id, for: '' });
    if (cameFrom) history.back(); else ctx.show();
  }
  function choose({ id, name }) {
    if (!pinOf(id) || hot() || shelf.signedAs(id)) { take(id); return; }
    const done = () => take(id);
    // Where the app is not here whole yet, the name alone holds: a PIN never keeps anybody from work.
    import('./pin.js').then(({ pinPanel }) => pinPanel(ctx, { id, name, done }), done);
  }
  function whom() {
    const { by, for: now } = shelf.record;
    panel({
      title: t`Press for whom?`, lead: t`Both names stand in the record.`,
      choices: [
        ...people().filter(({ id }) => id !== by).map(({ id, name }) => [name, () => { shelf.setPhone({ for: id }); history.back(); }]),
        ...(now ? [[t`For nobody else`, () => shelf.setPhone({ for: '' }), 'go']] : []),
      ],
    });
  }
  function more({ id, role }) {
    const how = shelf.signedAs(id);
    return [t(role), how ? `${t(HOW[how])} ${clock(shelf.record.signed[id].at)}` : !pinOf(id) ? t`no PIN` : hot() ? t`not signed in` : t`PIN`].join(', ');
  }
  function lead(now) {
    if (!now.length) return t`The office has not named anybody yet.`;
    const whomName = now.find(({ id }) => id === shelf.record.for)?.name;
    if (whomName) return t`Pressing for ${whomName} until this is changed.`;
    return hot() ? t`Hot: one press, no PIN.` : t`Every entry bears this name until it is changed.`;
  }
  function update() {
    const now = people(), lines = now.map((person) => ({ what: person.name, more: more(person), press: () => choose(person) }));
    const text = JSON.stringify([lines, lead(now), shelf.record.by]);
    if (text === shown) return;
    shown = text;
    at.lead.textContent = lead(now);
    const untried = shelf.record.ready ? [] : [{ what: t`Is this phone ready?`, more: t`Try it before it stands at a kettle.`, press: () => ctx.go('/ready') }];
    at.rows.replaceChildren(...[...untried, ...lines].map(row));
    at.feet.replaceChildren(...(shelf.record.by && now.length > 1 ? [key(t`Press for somebody else`, whom)] : []));
  }
  // The office may have named somebody or changed a PIN since.
  ctx.exchange.askOffice();
  return { root, update, where: () => t`People` };
}
