// Panels of a station: writing down, what went off, passing on, counting, lighting with stop items open.

import { t } from '../record/language.js';
import { panel } from './panel.js';
import { stepperPanel } from './stepper.js';

const SEVERAL = [2, 5, 10, -1], FRESH_MS = 180000;

/** What is counted here: several at once, or one too many. */
const countChoices = (count) => SEVERAL.map((n) => [n < 0 ? '−1' : `+${n}`, () => count(n)]);

/** Where something is counted: several at once, the reading that is numbered by the count, or any other. */
function countPanel(ctx, { batch, station, now, ask, lots }) {
  const sheet = ctx.sheet(batch), { tally } = now, numbered = sheet.checks.filter(({ figure }) => !figure).map(({ record }) => record);
  const write = (kind, body) => ctx.write({ batch, kind, station, body });
  const count = (add) => write('tally_counted', { what: tally, add });
  panel({
    title: t`Count ${t(tally)}, or write down`,
    choices: [...countChoices(count), ...recordsOf(sheet, station).filter((what) => numbered.includes(what)).map((what) => [sheet.records[what].label, () => ask(what)]), [t`Speak`, () => import('./soundnote.js').then(({ speak }) => speak(ctx, { batch, station, step: now.id }))], [t`Another reading`, () => writePanel(ctx, { batch, station, now: null, ask, lots })]],
    typed: { label: t`Another number, or a note`, done: (text) => (/^[1-9]\d{0,4}$/.test(text) ? count(Number(text)) : write('note_written', { text })) },
  });
}

const recordsOf = (sheet, station) => sheet.stations.find(({ id }) => id === station).steps.flatMap((step) => sheet.steps[step].record);

const mend = (...asked) => import('./mend.js').then(({ mendPanel }) => mendPanel(...asked));

/** Readings of this station, the present step's first; what is owed; a note. */
export function writePanel(ctx, { batch, station, now, ask, lots }) {
  if (now?.tally) { countPanel(ctx, { batch, station, now, ask, lots }); return; }
  const sheet = ctx.sheet(batch), { owed } = ctx.state(batch);
  const whats = [...new Set([...(now?.record ?? []), ...recordsOf(sheet, station)])];
  const note = (text) => ctx.write({ batch, kind: 'note_written', station, body: { text } });
  panel({
    title: t`Write down`,
    choices: [
      ...whats.map((what) => [sheet.records[what].label, () => ask(what)]),
      ...(lots?.choices() ?? []),
      ...(owed.length ? [[t`Owed: ${owed.length}`, () => ctx.go(`/b/${batch}/owed`)]] : []),
    ],
    typed: { label: t`Or a note`, done: note },
  });
}

/** What an entry that went off says: the check's words, the mark's, or what somebody typed. */
export function offWords(sheet, { code, text, what }) {
  if (code === 'lit_open') return t`Lit with ${what.split(',').length} open`;
  return sheet.checks.find(({ id }) => id === code)?.say ?? sheet.marks.find(({ id }) => id === code)?.words ?? (text || code);
}

/** What a reading has just found off comes first, with all it changes; else the marks. */
export function markPanel(ctx, batch, station, turn) {
  const sheet = ctx.sheet(batch), open = ctx.state(batch).off.filter(({ mended }) => !mended), newest = open.at(-1);
  const marks = () => marksPanel(ctx, sheet, station, open, turn);
  if (newest && newest.value !== null && ctx.shelf.now() - newest.at < FRESH_MS) mend(ctx, sheet, newest, marks).catch(marks); else marks();
}

/** One-press marks; where the log lies, that it was turned; and for what is open, what we changed. */
function marksPanel(ctx, sheet, station, open, turn) {
  const { batch } = sheet;
  panel({
    title: t`What went off?`,
    choices: [
      ...sheet.marks.map(({ id, words }) => [words, () => ctx.write({ batch, kind: 'went_off', station, body: { code: id } })]),
      ...(turn ? [[t`Log turned`, turn]] : []),
      ...open.map((entry) => [t`${offWords(sheet, entry)}: changed?`, () => mend(ctx, sheet, entry), 'wide']),
    ],
    typed: { label: t`Something else`, done: (text) => ctx.write({ batch, kind: 'went_off', station, body: { code: 'other', text } }) },
  });
}

/** Passing never blocks: what the step would have written down becomes owed. */
export function passPanel(ctx, batch, station, now) {
  if (!now) return;
  const sheet = ctx.sheet(batch), [step, nth] = now.split('#');
  const { state, ref } = ctx.state(batch).steps[now] ?? {};
  const after = state === 'reopened' ? { after: ref } : {};
  const pass = (reason) => ctx.write({ batch, kind: 'step_passed', station, step, nth: nth && Number(nth), body: { reason, ...after } });
  panel({
    title: t`Pass: ${sheet.steps[step].call}`,
    lead: sheet.steps[step].record.length ? t`Its reading becomes owed.` : t`Why?`,
    choices: ctx.shelf.sheet(batch).pass_reasons.map((reason) => [t(reason), () => pass(reason)]),
    typed: { label: t`Another reason`, done: pass },
  });
}

/** A flame can't be held back by a form: open items are named, and lighting is true all the same. */
export function lightPanel(ctx, sheet, open, light) {
  panel({
    title: open.length === 1 ? t`One stop item is open` : t`${open.length} stop items are open`,
    lead: `${open.map((id) => sheet.steps[id].call).join(', ')}.`,
    choices: [
      [t`Not lit: see to them`, () => ctx.go(`/b/${sheet.batch}/setup`), 'go wide'],
      [t`Lit now, with these open`, () => light(0), 'wide'],
      ...[2, 5, 10].map((minutes) => [t`Already lit, ${minutes} min ago`, () => light(minutes)]),
    ],
  });
}

/** Who stands beside somebody that has not done this alone yet. A shop note, no proof of anything. */
export function besidePanel(ctx, batch, station, { skill }) {
  const sheet = ctx.sheet(batch), who = ctx.shelf.record.for || ctx.shelf.phone.by;
  const ladder = sheet.people.some(({ solo }) => solo), able = ctx.people(sheet).filter(({ id, solo }) => id !== who && (!ladder || solo?.includes(skill)));
  const beside = (id) => ctx.write({ batch, kind: 'stands_beside', station, body: { skill, who: id } });
  panel({ title: t`Who stands beside?`, lead: able.length ? t`Work goes on without an answer.` : t`Nobody here has done this alone yet: ask the lead maker.`, choices: able.map(({ id, name }) => [name, () => beside(id)]) });
}

/** Longer ago than the keys say. */
export const earlierPanel = (finish) => stepperPanel({ title: t`Done how long ago?`, start: 10, low: 1, high: 240, unit: 'min', word: t`Done then`, done: finish });
