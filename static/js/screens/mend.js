// What went off: what it changes below, the ways out, and what we did about it.

import { t } from '../record/language.js';
import { changedBy, waysWhenShort } from '../record/replanned.js';
import { say } from '../record/words.js';
import { offWords } from './choices.js';
import { item } from './dom.js';
import { panel } from './panel.js';
import { clock } from './times.js';

const NARROW = '\u202f';

function figure(ctx, unit, value) {
  return unit === 'time' ? clock(value) : say(value, unit, ctx.wanted[unit] ?? '', 1);
}

/** The figure's name, what it was and what it is now; the unit once where it is the same. */
function changedWords(ctx, sheet, { name, before, now }) {
  const { says, unit } = sheet.graph.find((entry) => entry.name === name);
  const [was, is] = [before, now].map((value) => figure(ctx, unit, value)), [, sign] = is.split(NARROW);
  return was === is ? '' : `${says} ${sign && was.endsWith(sign) ? was.split(NARROW)[0] : was} → ${is}`;
}

/** What is written down for each way, and the words of its key. */
const WRITTEN = { shorten: /*t*/'Shorten the log', thin: /*t*/'Thin its parts', 'top up': /*t*/'Top up from white' };

function wayChoice(ctx, mend, { way, lost, white, narrowest, fits }) {
  const words = t(WRITTEN[way]), size = (unit, value) => figure(ctx, unit, value);
  if (!fits) return [t`${words}: not possible, ${size('um', narrowest)} is too thin to lay`, null];
  const much = white > 500 ? t`${words}: ${size('um', lost)} of rod lost, ${size('mg', white)} of white goes in` : t`${words}: ${size('um', lost)} of rod lost`;
  return [much, () => mend(WRITTEN[way])];
}

function ways(ctx, sheet, state, entry, mend) {
  const portion = sheet.portions.find(({ record }) => record && record === entry.what);
  return portion ? waysWhenShort(sheet, state, portion).map((way) => wayChoice(ctx, mend, way)) : [];
}

const listOf = (lines) => { const list = Object.assign(document.createElement('ul'), { className: 'lines' }); list.append(...lines.map((words) => item(words))); return list; };

/** `others` leads on to the marks, where this came before them. */
export function mendPanel(ctx, sheet, entry, others) {
  const { batch } = sheet, state = ctx.state(batch), reading = entry.what.split('#')[0];
  const mend = (text) => ctx.write({ batch, kind: 'mended', body: { id: entry.id, text } });
  const changed = sheet.records[reading] ? changedBy(sheet, state, reading) : [];
  const found = ways(ctx, sheet, state, entry, mend), open = found.filter(([, done]) => done);
  const { root } = panel({
    title: offWords(sheet, entry), lead: t`What did we change?`,
    choices: [
      ...open.map((way) => [...way, 'wide']), ...(changed.length && !open.length ? [[t`Go by the new figures`, () => mend('Go by the new figures'), 'go']] : []), [t`Nothing, carried on`, () => mend('Nothing, carried on')],
      ...(changed.some(({ name }) => name === 'base_mass') ? [[t`Give the boil up`, () => ctx.go(`/b/${batch}/end`)]] : []),
      ...(others ? [[t`Another mark`, others]] : []),
    ],
    typed: { label: t`In words`, done: (text) => { mend(text); stillPanel(ctx, sheet, entry); } },
  });
  const lines = [...changed.map((each) => changedWords(ctx, sheet, each)), ...found.filter(([, done]) => !done).map(([words]) => words)].filter(Boolean);
  if (lines.length) root.querySelector('.lead').before(listOf(lines));
}

/** What must still be done because of it stays on the handover card until somebody has done it. */
function stillPanel(ctx, sheet, entry) {
  const owe = (text) => ctx.write({ batch: sheet.batch, kind: 'owed_added', body: { text, because: entry.id } });
  const { then = '' } = ctx.shelf.sheet(sheet.batch).checks.find(({ id }) => id === entry.code) ?? {};
  panel({
    title: t`Must something still be done?`, lead: offWords(sheet, entry),
    choices: [[t`No, that is all`, () => {}, 'go'], ...(then ? [[t(then), () => owe(then)]] : [])], typed: { label: t`In words`, done: owe },
  });
}
