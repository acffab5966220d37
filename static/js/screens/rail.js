// The rail on top of every screen: boil, place, who presses, who has the boil, and where the work is kept.

import { attr, put, stamp } from './dom.js';
import { badge } from './drawing.js';

/** In plain words where this phone's work is: pressed, kept, carried, at the shop. */
export function stageWords(ctx) {
  const { saving, unkept, unsent, carried } = ctx.shelf.status();
  if (saving === 'failing') return ['can’t save', 'broken'];
  if (unkept) return ['pressed', 'pressed'];
  if (unsent) return [`kept, ${unsent} only here`, 'local'];
  if (carried) return [`carries ${carried}`, 'local'];
  return ['at the shop', 'shop'];
}

export function makeRail(ctx) {
  const { root, at } = stamp('rail');
  let shown = null, batch = '';
  at.burn.addEventListener('click', () => ctx.burn(batch));

  function boil(sheet) {
    at.up.replaceChildren(sheet ? badge(sheet.boil) : document.createTextNode('‹'));
    document.body.dataset.pattern = sheet?.boil.pattern ?? '';
  }

  function people(sheet) {
    const { phone } = ctx.shelf;
    const lead = sheet ? ctx.state(batch).lead.by : '', whom = ctx.shelf.record.for;
    const known = sheet ?? ctx.shelf.sheet(ctx.boils()[0]?.id), nameOf = (id) => (known && id ? ctx.name(known, id) : id);
    const person = nameOf(phone?.by ?? ''), same = lead === phone?.by && !whom;
    at.who.classList.toggle('for', Boolean(whom));
    put(at.presses, person && (whom ? `${person} for ${nameOf(whom)}` : same ? `${person} presses and` : `${person} presses`));
    put(at.leads, lead && (same ? 'has the boil' : `${ctx.name(sheet, lead)} has the boil`));
  }

  return {
    root,
    update({ batch: now, where, up, burning }) {
      const sheet = now ? ctx.shelf.sheet(now) : null;
      if (shown !== now) { boil(sheet); shown = now; }
      batch = now;
      attr(at.up, 'href', `#${up ?? '/'}`);
      attr(at.up, 'aria-label', sheet ? `Boil ${sheet.boil.letter}: up` : 'Boils');
      put(at.where, where);
      people(sheet);
      at.burn.hidden = !sheet || burning || ctx.state(now).phase !== 'open';
      const [words, className] = stageWords(ctx);
      put(at.stage, words);
      attr(at.stage, 'class', `stage ${className}`);
    },
  };
}
