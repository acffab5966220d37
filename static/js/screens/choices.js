// Panels of a station: writing down, what went off, passing on, counting, lighting with stop items open.

import { panel } from './panel.js';
import { stepperPanel } from './stepper.js';

const SEVERAL = [2, 5, 10, -1];

/** What is counted here: several at once, or one too many. */
const countChoices = (count) => SEVERAL.map((n) => [n < 0 ? '−1' : `+${n}`, () => count(n)]);

/** Where something is counted: several at once, the reading that is numbered by the count, or any other. */
function countPanel(ctx, { batch, station, now, ask }) {
  const sheet = ctx.shelf.sheet(batch), { tally } = now, numbered = sheet.checks.filter(({ figure }) => !figure).map(({ record }) => record);
  const write = (kind, body) => ctx.write({ batch, kind, station, body });
  const count = (add) => write('tally_counted', { what: tally, add });
  panel({
    title: `Count ${tally}, or write down`,
    choices: [...countChoices(count), ...recordsOf(sheet, station).filter((what) => numbered.includes(what)).map((what) => [sheet.records[what].label, () => ask(what)]), ['Another reading', () => writePanel(ctx, { batch, station, now: null, ask })]],
    typed: { label: 'Another number, or a note', done: (text) => (/^[1-9]\d{0,4}$/.test(text) ? count(Number(text)) : write('note_written', { text })) },
  });
}

const recordsOf = (sheet, station) => sheet.stations.find(({ id }) => id === station).steps.flatMap((step) => sheet.steps[step].record);

/** Photos and sounds: brought when somebody first wants one. */
const files = () => import('./files.js');

/** Readings of this station, the present step's first; what is owed; a note. */
export function writePanel(ctx, { batch, station, now, ask }) {
  if (now?.tally) { countPanel(ctx, { batch, station, now, ask }); return; }
  const sheet = ctx.shelf.sheet(batch), { owed } = ctx.state(batch);
  const whats = [...new Set([...(now?.record ?? []), ...recordsOf(sheet, station)])];
  const note = (text) => ctx.write({ batch, kind: 'note_written', station, body: { text } });
  panel({
    title: 'Write down',
    choices: [
      ...whats.map((what) => [sheet.records[what].label, () => ask(what)]),
      ['Photo', () => files().then(({ takePhoto }) => takePhoto(ctx, { batch, station }))],
      ['Speak', () => files().then(({ speak }) => speak(ctx, { batch, station }))],
      ...(owed.length ? [[`Owed: ${owed.length}`, () => ctx.go(`/b/${batch}/owed`)]] : []),
    ],
    typed: { label: 'Or a note', done: note },
  });
}

/** What an entry that went off says: the check's words, the mark's, or what somebody typed. */
export function offWords(sheet, { code, text, what }) {
  if (code === 'lit_open') return `Lit with ${what.split(',').length} open`;
  return sheet.checks.find(({ id }) => id === code)?.say ?? sheet.marks.find(({ id }) => id === code)?.words ?? (text || code);
}

/** One-press marks; where the log lies, that it was turned; and for what is open, what we changed. */
export function markPanel(ctx, batch, station, turn) {
  const sheet = ctx.shelf.sheet(batch);
  const open = ctx.state(batch).off.filter(({ mended }) => !mended);
  panel({
    title: 'What went off?',
    choices: [
      ...sheet.marks.map(({ id, words }) => [words, () => ctx.write({ batch, kind: 'went_off', station, body: { code: id } })]),
      ...(turn ? [['Log turned', turn]] : []),
      ...open.map((entry) => [`${offWords(sheet, entry)}: changed?`, () => mendPanel(ctx, sheet, entry), 'wide']),
    ],
    typed: { label: 'Something else', done: (text) => ctx.write({ batch, kind: 'went_off', station, body: { code: 'other', text } }) },
  });
}

function mendPanel(ctx, sheet, entry) {
  const mend = (text) => ctx.write({ batch: sheet.batch, kind: 'mended', body: { id: entry.id, text } });
  panel({
    title: offWords(sheet, entry), lead: 'What did we change?',
    choices: [['Nothing, carried on', () => mend('Nothing, carried on')]], typed: { label: 'In words', done: (text) => { mend(text); stillPanel(ctx, sheet, entry); } },
  });
}

/** What must still be done because of it stays on the handover card until somebody has done it. */
function stillPanel(ctx, sheet, entry) {
  const owe = (text) => ctx.write({ batch: sheet.batch, kind: 'owed_added', body: { text, because: entry.id } });
  const { then = '' } = sheet.checks.find(({ id }) => id === entry.code) ?? {};
  panel({
    title: 'Must something still be done?', lead: offWords(sheet, entry),
    choices: [['No, that is all', () => {}, 'go'], ...(then ? [[then, () => owe(then)]] : [])], typed: { label: 'In words', done: owe },
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
    lead: sheet.steps[step].record.length ? 'Its reading becomes owed.' : 'Why?',
    choices: sheet.pass_reasons.map((reason) => [reason, () => pass(reason)]),
    typed: { label: 'Another reason', done: pass },
  });
}

/** A flame can't be held back by a form: open items are named, and lighting is true all the same. */
export function lightPanel(ctx, sheet, open, light) {
  panel({
    title: open.length === 1 ? 'One stop item is open' : `${open.length} stop items are open`,
    lead: `${open.map((id) => sheet.steps[id].call).join(', ')}.`,
    choices: [
      ['Not lit: see to them', () => ctx.go(`/b/${sheet.batch}/setup`), 'go wide'],
      ['Lit now, with these open', () => light(0), 'wide'],
      ...[2, 5, 10].map((minutes) => [`Already lit, ${minutes} min ago`, () => light(minutes)]),
    ],
  });
}

/** Who stands beside somebody that has not done this alone yet. A shop note, no proof of anything. */
export function besidePanel(ctx, batch, station, { skill }) {
  const sheet = ctx.shelf.sheet(batch), who = ctx.shelf.record.for || ctx.shelf.phone.by;
  const ladder = sheet.people.some(({ solo }) => solo), able = ctx.people(sheet).filter(({ id, solo }) => id !== who && (!ladder || solo?.includes(skill)));
  const beside = (id) => ctx.write({ batch, kind: 'stands_beside', station, body: { skill, who: id } });
  panel({ title: 'Who stands beside?', lead: able.length ? 'Work goes on without an answer.' : 'Nobody here has done this alone yet: ask the lead maker.', choices: able.map(({ id, name }) => [name, () => beside(id)]) });
}

/** Longer ago than the keys say. */
export const earlierPanel = (finish) => stepperPanel({ title: 'Done how long ago?', start: 10, low: 1, high: 240, unit: 'min', word: 'Done then', done: finish });
