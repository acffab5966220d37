// The rail on top of every screen: boil, place, who presses, who has the boil, and where the work is kept.

import { t } from '../record/language.js';
import { attr, hide, put, stamp } from './dom.js';
import { badge } from './drawing.js';

/** In plain words where this phone's work is: pressed, kept, carried, at the shop. */
export function stageWords(ctx) {
  const { saving, unkept, unsent, carried } = ctx.shelf.status();
  if (saving === 'failing') return [t`can’t save`, 'broken'];
  if (unkept) return [t`pressed`, 'pressed'];
  if (unsent) return [t`kept, ${unsent} only here`, 'local'];
  if (carried) return [t`carries ${carried}`, 'local'];
  return [t`at the shop`, 'shop'];
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
    const known = sheet ?? ctx.sheet(ctx.boils()[0]?.id), nameOf = (id) => (known && id ? ctx.name(known, id) : id);
    const person = nameOf(phone?.by ?? ''), same = lead === phone?.by && !whom;
    at.who.classList.toggle('for', Boolean(whom));
    put(at.presses, person && (whom ? t`${person} for ${nameOf(whom)}` : same ? t`${person} presses and` : t`${person} presses`));
    put(at.leads, lead && (same ? t`has the boil` : t`${ctx.name(sheet, lead)} has the boil`));
  }

  /** Never a moment later than the press: nothing may be called kept that is not. */
  function stage() {
    const [words, className] = stageWords(ctx);
    put(at.stage, words);
    attr(at.stage, 'class', className);
  }

  return {
    root, stage,
    update({ batch: now, where, up, burning }) {
      const sheet = now ? ctx.sheet(now) : null;
      if (shown !== now) { boil(sheet); shown = now; }
      batch = now;
      attr(at.up, 'href', `#${up ?? '/'}`);
      attr(at.up, 'aria-label', sheet ? t`Boil ${sheet.boil.letter}: up` : t`Boils`);
      put(at.where, where);
      people(sheet);
      hide(at.burn, !sheet || burning || ctx.state(now).phase !== 'open');
      stage();
    },
  };
}
