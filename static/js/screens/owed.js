// What is still owed: readings that steps left behind, for the next clean pair of hands.

import { t } from '../record/language.js';
import { offWords } from './choices.js';
import { key, row, stamp } from './dom.js';
import { panel } from './panel.js';
import { readingPanel } from './reading.js';
import { ago } from './times.js';

/** What went off, by its id; the id where it is struck by now. */
function becauseWords(sheet, { off }, id) {
  const entry = off.find((one) => one.id === id);
  return entry ? offWords(sheet, entry) : id;
}

export function owedScreen(ctx, batch) {
  const { root, at } = stamp('list');
  const sheet = ctx.sheet(batch);
  at.title.textContent = t`Owed`;
  let shown = null;

  const pay = (entry, reason) => ctx.write({ batch, kind: 'owed_paid', body: { key: entry.key, reason } });
  const owe = () => panel({ title: t`What is owed?`, typed: { label: t`In words`, done: (text) => ctx.write({ batch, kind: 'owed_added', body: { text } }) } });

  function press(entry) {
    const [step, nth] = entry.step.split('#');
    if (!entry.what) { panel({ title: entry.text, choices: [[t`It is written down`, () => pay(entry, 'done'), 'go']] }); return; }
    panel({
      title: sheet.records[entry.what].label,
      choices: [
        [t`Write it down`, () => readingPanel(ctx, { batch, what: entry.what, step, nth: nth && Number(nth), station: '' }), 'go'],
        [t`Can’t be had any more`, () => pay(entry, 'can’t be had any more')],
      ],
    });
  }

  const line = (entry) => row({
    what: entry.what ? sheet.records[entry.what].label : entry.text,
    more: [entry.step ? sheet.steps[entry.step.split('#')[0]].call : '', entry.because && `because: ${becauseWords(sheet, ctx.state(batch), entry.because)}`, ago(ctx.shelf.now() - entry.since), ctx.name(sheet, entry.by)].filter(Boolean).join(', '),
    press: () => press(entry),
  });

  function update() {
    const state = ctx.state(batch);
    if (state === shown) return;
    shown = state;
    at.lead.textContent = state.owed.length ? t`For the next clean pair of hands.` : t`Nothing is owed.`;
    at.rows.replaceChildren(...state.owed.map(line));
    at.feet.replaceChildren(key(t`Owe something`, owe), key(t`Back to the station`, () => ctx.go(`/b/${batch}/${ctx.shelf.phone.station || ''}`)));
  }
  return { root, batch, update, up: `/b/${batch}`, where: () => t`Owed` };
}
