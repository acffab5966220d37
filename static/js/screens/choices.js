// Panels of a station: what went off, passing on, lighting with stop items open.

import { panel } from './panel.js';

/** One-press marks, and a note in words. */
export function markPanel(ctx, batch, station) {
  const sheet = ctx.shelf.sheet(batch);
  const mark = (code) => () => ctx.write({ batch, kind: 'went_off', station, body: { code } });
  panel({
    title: 'What went off?',
    choices: sheet.marks.map(({ id, words }) => [words, mark(id)]),
    typed: { label: 'Or a note', done: (text) => ctx.write({ batch, kind: 'note_written', station, body: { text } }) },
  });
}

/** Passing never blocks: what the step would have written down becomes owed. */
export function passPanel(ctx, batch, station, now) {
  if (!now) return;
  const sheet = ctx.shelf.sheet(batch), [step, nth] = now.split('#');
  const { state, ref } = ctx.state(batch).steps[now] ?? {};
  const after = state === 'reopened' ? { after: ref } : {};
  const pass = (reason) => ctx.write({ batch, kind: 'step_passed', station, step, nth: nth && Number(nth), body: { reason, ...after } });
  panel({
    title: `Pass: ${sheet.steps[step].call}`,
    lead: 'Its readings become owed.',
    choices: sheet.pass_reasons.map((reason) => [reason, () => pass(reason)]),
    typed: { label: 'Another reason', done: pass },
  });
}

/** A flame can't be held back by a form: open items are named, and lighting is true all the same. */
export function lightPanel(ctx, sheet, open, light) {
  panel({
    title: `${open.length} stop items open`,
    lead: open.map((id) => sheet.steps[id].call).join(', '),
    choices: [
      ['Not lit yet', () => {}, 'go'],
      ['Lit now, with these open', () => light(0)],
      ...[2, 5, 10].map((minutes) => [`Already lit, ${minutes} min ago`, () => light(minutes)]),
    ],
  });
}

/** Several at once, or one too many. */
export function countPanel(ctx, batch, station, what) {
  const count = (add) => ctx.write({ batch, kind: 'tally_counted', station, body: { what, add } });
  panel({
    title: `Count ${what}`,
    choices: [5, 10, 25, 100, -1].map((n) => [n < 0 ? '−1' : `+${n}`, () => count(n)]),
    typed: { label: 'Another number', done: (text) => { if (/^[1-9]\d{0,4}$/.test(text)) count(Number(text)); } },
  });
}
