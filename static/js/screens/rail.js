// The rail on top of every screen: boil, place, who presses, who has the boil, and where the work is kept.

import { badge, put, stamp } from './dom.js';

/** In three plain words where this phone's work is. */
export function stageWords(ctx) {
  const { saving, unkept, unsent } = ctx.shelf.status();
  if (saving === 'failing') return ['can’t save', 'alarm'];
  if (unkept) return ['pressed', ''];
  if (unsent) return [`kept · ${unsent} here`, 'local'];
  return ['at the shop', ''];
}

export function makeRail(ctx) {
  const { root, at } = stamp('rail');
  let shown = null;
  return {
    root,
    update({ batch, where }) {
      const sheet = batch ? ctx.shelf.sheet(batch) : null;
      if (shown !== batch) {
        at.home.replaceChildren(sheet ? badge(sheet.boil) : document.createTextNode('‹'));
        at.home.href = '#/';
        shown = batch;
        document.body.dataset.pattern = sheet?.boil.pattern ?? '';
      }
      put(at.where, where);
      at.where.href = batch ? `#/b/${batch}` : '#/';
      const { phone } = ctx.shelf;
      const person = sheet ? ctx.name(sheet, phone?.by) : phone?.by ?? '';
      const lead = sheet ? ctx.name(sheet, ctx.state(batch).lead.by) : '';
      put(at.who, sheet ? `${person} presses, ${lead} has the boil` : person);
      const [words, className] = stageWords(ctx);
      put(at.stage, words);
      at.stage.className = `stage ${className}`;
    },
  };
}
