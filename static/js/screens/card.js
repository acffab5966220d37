// The handover card and the glance card as titles and lines: every value with its age.

import { say } from '../record/words.js';
import { stepOf } from './board.js';
import { offWords } from './choices.js';
import { ago, clock, lasting } from './times.js';

const labelOf = (sheet, what) => sheet.records[what.split('#')[0]].label;
const stationName = (sheet, id) => sheet.stations.find((station) => station.id === id)?.name ?? '';
const aged = (words, { age, stale }) => ({ words: age === null ? words : `${words}, ${ago(age)}`, stale });

/** A line of the card: text, and whether it is too old to be trusted. */
const plain = (words) => ({ words, stale: 0 });

const flameLine = ({ on, age }) => plain(`Kettle’s flame ${on ? 'on: lit' : 'off: poured'} ${ago(age)}`);

const hotLine = (sheet, entry, wanted) => aged(`${stationName(sheet, entry.station)}: ${labelOf(sheet, entry.what).toLowerCase()} ${say(entry.value, 'm°C', wanted['m°C'], 0)}`, entry);

function whereLine(sheet, entry, wanted) {
  if (entry.block) return aged(`${sheet.blocks.find(({ id }) => id === entry.block).name}: ${entry.built ? 'laid up' : 'to do'}`, entry);
  return aged(`${sheet.portions.find(({ id }) => id === entry.portion).name} ${say(entry.value, 'mg', wanted.mg)}`, entry);
}

const nextLine = (ctx, sheet, { station, step, ring, due, by }) => `${due ? `${clock(due)} ` : ''}${stationName(sheet, station)}: ${ring || stepOf(sheet, step).call}, ${ctx.name(sheet, by)}`;
const nowLine = (ctx, sheet, { by, station, step, done, total, age, stale }) => aged(`${stationName(sheet, station)}: ${stepOf(sheet, step).call}, ${done} of ${total}, ${ctx.name(sheet, by)}`, { age, stale });

function expectedLine(sheet, { figure, low, high, unit, age }, wanted) {
  const { says } = sheet.graph.find(({ name }) => name === figure);
  const [from, to] = unit === 'time' ? [clock(low), clock(high)] : [low, high].map((value) => (unit === '1' ? String(value) : say(value, unit, wanted[unit] ?? '', 0)));
  return plain(`${says} ${from === to ? from : `${from}–${to}`} expected${age === null ? '' : `; last reading ${ago(age)}`}`);
}

/** What went off, what was changed, and what must still be done because of it. */
function offLine(ctx, sheet, state, entry) {
  const still = state.owed.filter(({ because }) => because === entry.id).map(({ text }) => text);
  const { then = '' } = sheet.checks.find(({ id }) => id === entry.code) ?? {};
  const todo = entry.mended ? still : [then, ...still].filter(Boolean);
  return [
    `${offWords(sheet, entry)}, ${clock(entry.at)}, ${ctx.name(sheet, entry.by)}.`,
    entry.mended ? `Changed: ${entry.mended.text}.` : 'Nothing changed yet.', ...todo.map((words) => `Still: ${words}.`),
  ].join(' ');
}

function holdLines(ctx, sheet, { lead, age, crew, shadows, stations }) {
  const at = new Map(stations.map((line) => [line.by, line]));
  return [
    plain(`${ctx.name(sheet, lead)} has the boil${lasting(age)}`), ...shadows.map((id) => plain(`${ctx.name(sheet, id)} shadows`)),
    ...crew.map(({ id, name, role }) => (at.has(id) ? aged(`${name}, ${role}: ${stationName(sheet, at.get(id).station)}`, at.get(id)) : plain(`${name}, ${role}`))),
  ];
}

function safetyLines(ctx, sheet, { interrupted, stop_open: open, hazards_read: read, hazards_age: age }) {
  return [
    ...interrupted.map(({ age: since, ended }) => plain(`Interrupted ${ago(since)}${ended ? '' : ', not over'}`)), ...open.map((id) => plain(`Open: ${sheet.steps[id].call}`)),
    read.length ? aged(`Cautions read by ${read.map((id) => ctx.name(sheet, id)).join(', ')}`, { age, stale: 0 }) : plain('Cautions not read together'),
    plain('Say: floor, guard, gas, gear, first-aider, water tub.'),
  ];
}

function countLines(sheet, { counts, owed }) {
  return [
    ...counts.tallies.map((line) => aged(`${line.n} ${line.what}`, line)), plain(`${counts.packs} bags ordered`),
    ...owed.map(({ what, text, age }) => aged(`Owed: ${what ? labelOf(sheet, what) : text}`, { age, stale: 0 })),
  ];
}

const walkLines = (ctx, sheet, walks) => walks.map(({ by, at, places }) => plain(`${ctx.name(sheet, by)} walked ${places.join(', ')}, ${clock(at)}`));

/** The ten parts of the card. */
export function tenParts(ctx, sheet, state, c) {
  const { wanted } = ctx;
  return [
    ['Now', [plain(`Boil ${c.now.letter}, ${c.now.title}`), plain(`Reading end: ${c.now.reading_end}`), ...c.now.stations.map((line) => nowLine(ctx, sheet, line))]],
    ['Hot', [...(c.flame ? [flameLine(c.flame)] : []), ...c.hot.map((line) => hotLine(sheet, line, wanted))]],
    ['Where', c.where.map((line) => whereLine(sheet, line, wanted))],
    ['Next 10 minutes', [...c.next.map((line) => plain(nextLine(ctx, sheet, line))), ...c.expected.map((line) => expectedLine(sheet, line, wanted))]],
    ['Went off', [...c.off, ...c.changed].map((entry) => plain(offLine(ctx, sheet, state, entry)))],
    ['Holds', holdLines(ctx, sheet, c.holds)],
    ['Counts', countLines(sheet, c)],
    ['Safety', safetyLines(ctx, sheet, c.safety)],
    ['Questions', [plain('Ask them now; ‘no questions’ is an answer.')]],
    ['Walk', [plain(`Both touch or point at: ${c.walk.join(', ')}.`), ...walkLines(ctx, sheet, state.offer?.walks ?? [])]],
  ];
}

/** The glance card of the zone: four lines, for the newcomer or whoever shows it. */
export function fourLines(ctx, sheet, g, reader) {
  return [
    ['Now', g.now.stations.slice(-1).map(({ station, step, ...dated }) => aged(`${stationName(sheet, station)}: ${stepOf(sheet, step).call}`, dated))],
    ['Hot', [...g.hot].sort((a, b) => a.age - b.age).slice(0, 1).map((line) => hotLine(sheet, line, ctx.wanted))],
    ['Next', g.next.slice(0, 1).map((line) => plain(nextLine(ctx, sheet, line)))],
    ['Has the boil', [plain(`${ctx.name(sheet, g.lead)} stays, ${reader === g.lead ? 'the newcomer shadows' : 'you shadow'}`)]],
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
    owed: () => answer.map(({ what, text }) => (what ? labelOf(sheet, what) : text)),
  };
  return [QUESTIONS[ask], lines[ask]().join('. ') || 'Nothing'];
}

const QUESTIONS = {
  lead: 'Who has the boil?', reading_end: 'Which end reads?', now: 'What is going on, and where?', hottest: 'What is hottest?',
  next: 'What comes next?', counts: 'How many are down?', off: 'What went off, what still must be done?', owed: 'What is owed?',
};
