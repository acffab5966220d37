// The handover card and the glance card as titles and lines: every value with its age.

import { t, within } from '../record/language.js';
import { say } from '../record/words.js';
import { stepOf } from './board.js';
import { offWords } from './choices.js';
import { ago, clock, lasting } from './times.js';

const labelOf = (sheet, what) => sheet.records[what.split('#')[0]].label;
const stationName = (sheet, id) => sheet.stations.find((station) => station.id === id)?.name ?? '';
const aged = (words, { age, stale }) => ({ words: age === null ? words : `${words}, ${ago(age)}`, stale });

/** A line of the card: text, and whether it is too old to be trusted. */
const plain = (words) => ({ words, stale: 0 });

const flameLine = ({ on, age }) => plain(on ? t`Kettle’s flame on: lit ${ago(age)}` : t`Kettle’s flame off: poured ${ago(age)}`);

const hotLine = (sheet, entry, wanted) => aged(`${stationName(sheet, entry.station)}: ${within(labelOf(sheet, entry.what))} ${say(entry.value, 'm°C', wanted['m°C'], 0)}`, entry);

function whereLine(sheet, entry, wanted) {
  if (entry.block) return aged(`${sheet.blocks.find(({ id }) => id === entry.block).name}: ${entry.built ? t`laid up` : t`to do`}`, entry);
  return aged(`${sheet.portions.find(({ id }) => id === entry.portion).name} ${say(entry.value, 'mg', wanted.mg)}`, entry);
}

const nextLine = (ctx, sheet, { station, step, ring, due, by }) => `${due ? `${clock(due)} ` : ''}${stationName(sheet, station)}: ${ring ? t(ring) : stepOf(sheet, step).call}, ${ctx.name(sheet, by)}`;
const nowLine = (ctx, sheet, { by, station, step, done, total, age, stale }) => aged(t`${stationName(sheet, station)}: ${stepOf(sheet, step).call}, ${done} of ${total}, ${ctx.name(sheet, by)}`, { age, stale });

function expectedLine(sheet, { figure, low, high, unit, age }, wanted) {
  const { says } = sheet.graph.find(({ name }) => name === figure);
  const [from, to] = unit === 'time' ? [clock(low), clock(high)] : [low, high].map((value) => (unit === '1' ? String(value) : say(value, unit, wanted[unit] ?? '', 0)));
  const range = from === to ? from : `${from}–${to}`;
  return plain(age === null ? t`${says} ${range} expected` : t`${says} ${range} expected; last reading ${ago(age)}`);
}

/** What went off, what was changed, and what must still be done because of it. */
function offLine(ctx, sheet, state, entry) {
  const still = state.owed.filter(({ because }) => because === entry.id).map(({ text }) => text);
  const { then = '' } = sheet.checks.find(({ id }) => id === entry.code) ?? {};
  const todo = entry.mended ? still : [then, ...still].filter(Boolean);
  return [
    `${offWords(sheet, entry)}, ${clock(entry.at)}, ${ctx.name(sheet, entry.by)}.`,
    entry.mended ? t`Changed: ${t(entry.mended.text)}.` : t`Nothing changed yet.`, ...todo.map((words) => t`Still: ${t(words)}.`),
  ].join(' ');
}

function holdLines(ctx, sheet, { lead, age, crew, shadows, stations }) {
  const at = new Map(stations.map((line) => [line.by, line]));
  return [
    plain(t`${ctx.name(sheet, lead)} has the boil${lasting(age)}`), ...shadows.map((id) => plain(t`${ctx.name(sheet, id)} shadows`)),
    ...crew.map(({ id, name, role }) => (at.has(id) ? aged(`${name}, ${t(role)}: ${stationName(sheet, at.get(id).station)}`, at.get(id)) : plain(`${name}, ${t(role)}`))),
  ];
}

function safetyLines(ctx, sheet, { interrupted, stop_open: open, hazards_read: read, hazards_age: age }) {
  return [
    ...interrupted.map(({ age: since, ended }) => plain(t`Interrupted ${ago(since)}${ended ? '' : t`, not over`}`)), ...open.map((id) => plain(t`Open: ${sheet.steps[id].call}`)),
    read.length ? aged(t`Cautions read by ${read.map((id) => ctx.name(sheet, id)).join(', ')}`, { age, stale: 0 }) : plain(t`Cautions not read together`),
    plain(t`Say: floor, guard, gas, gear, first-aider, water tub.`),
  ];
}

function countLines(sheet, { counts, owed }) {
  return [
    ...counts.tallies.map((line) => aged(`${line.n} ${t(line.what)}`, line)), plain(t`${counts.packs} bags ordered`),
    ...owed.map(({ what, text, age }) => aged(t`Owed: ${what ? labelOf(sheet, what) : t(text)}`, { age, stale: 0 })),
  ];
}

const walkLines = (ctx, sheet, walks) => walks.map(({ by, at, places }) => plain(t`${ctx.name(sheet, by)} walked ${places.map(t).join(', ')}, ${clock(at)}`));

/** The ten parts of the card. */
export function tenParts(ctx, sheet, state, c) {
  const { wanted } = ctx;
  return [
    [t`Now`, [plain(t`Boil ${c.now.letter}, ${c.now.title}`), plain(t`Reading end: ${c.now.reading_end}`), ...c.now.stations.map((line) => nowLine(ctx, sheet, line))]],
    [t`Hot`, [...(c.flame ? [flameLine(c.flame)] : []), ...c.hot.map((line) => hotLine(sheet, line, wanted))]],
    [t`Where`, c.where.map((line) => whereLine(sheet, line, wanted))],
    [t`Next 10 minutes`, [...c.next.map((line) => plain(nextLine(ctx, sheet, line))), ...c.expected.map((line) => expectedLine(sheet, line, wanted))]],
    [t`Went off`, [...c.off, ...c.changed].map((entry) => plain(offLine(ctx, sheet, state, entry)))],
    [t`Holds`, holdLines(ctx, sheet, c.holds)],
    [t`Counts`, countLines(sheet, c)],
    [t`Safety`, safetyLines(ctx, sheet, c.safety)],
    [t`Questions`, [plain(t`Ask them now; ‘no questions’ is an answer.`)]],
    [t`Walk`, [plain(t`Both touch or point at: ${c.walk.map(t).join(', ')}.`), ...walkLines(ctx, sheet, state.offer?.walks ?? [])]],
  ];
}

/** The glance card of the zone: four lines, for the newcomer or whoever shows it. */
export function fourLines(ctx, sheet, g, reader) {
  return [
    [t`Now`, g.now.stations.slice(-1).map(({ station, step, ...dated }) => aged(`${stationName(sheet, station)}: ${stepOf(sheet, step).call}`, dated))],
    [t`Hot`, g.hot.map((line) => hotLine(sheet, line, ctx.wanted))],
    [t`Next`, g.next.slice(0, 1).map((line) => plain(nextLine(ctx, sheet, line)))],
    [t`Has the boil`, [plain(reader === g.lead ? t`${ctx.name(sheet, g.lead)} stays, the newcomer shadows` : t`${ctx.name(sheet, g.lead)} stays, you shadow`)]],
  ];
}

/** Question and answer of a spot question, off the card. */
export function spotWords(ctx, sheet, state, { ask, answer }) {
  const { wanted } = ctx, lines = {
    lead: () => [ctx.name(sheet, answer)],
    reading_end: () => [answer],
    now: () => answer.map((line) => nowLine(ctx, sheet, line).words),
    hottest: () => answer.map((line) => hotLine(sheet, line, wanted).words),
    next: () => answer.map((line) => nextLine(ctx, sheet, line)),
    counts: () => countLines(sheet, { counts: answer, owed: [] }).map(({ words }) => words),
    off: () => answer.map((entry) => offLine(ctx, sheet, state, entry)),
    owed: () => answer.map(({ what, text }) => (what ? labelOf(sheet, what) : t(text))),
  };
  return [t(QUESTIONS[ask]), lines[ask]().join('. ') || t`Nothing`];
}

const QUESTIONS = {
  lead: /*t*/'Who has the boil?', reading_end: /*t*/'Which end reads?', now: /*t*/'What is going on, and where?', hottest: /*t*/'What is hottest?',
  next: /*t*/'What comes next?', counts: /*t*/'How many are down?', off: /*t*/'What went off, what still must be done?', owed: /*t*/'What is owed?',
};
