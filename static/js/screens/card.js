// The handover card and the glance card as titles and lines.

import { say } from '../record/words.js';
import { stepOf } from './board.js';
import { offWords } from './choices.js';
import { ago, clock } from './times.js';

const labelOf = (sheet, what) => sheet.records[what.split('#')[0]].label;
const stationName = (sheet, id) => sheet.stations.find((station) => station.id === id).name;

function hotLine(sheet, { what, value, age, stale }, wanted) {
  return { words: `${labelOf(sheet, what)} ${say(value, 'm°C', wanted['m°C'], 0)}, ${ago(age)}`, stale };
}

function whereLine(sheet, entry, wanted) {
  if (entry.block) return `${sheet.blocks.find(({ id }) => id === entry.block).name}: ${entry.built ? 'laid up' : 'to do'}`;
  return `${sheet.portions.find(({ id }) => id === entry.portion).name} ${say(entry.value, 'mg', wanted.mg)}, ${ago(entry.age)}`;
}

const nextLine = (sheet, { station, step, due }) => `${due ? `${clock(due)} ` : ''}${stationName(sheet, station)}: ${stepOf(sheet, step).call}`;
const nowLine = (sheet, { station, step, done, total }) => `${stationName(sheet, station)}: ${stepOf(sheet, step).call}, ${done} of ${total}`;

function offLine(sheet, entry) {
  return `${offWords(sheet, entry)}, ${clock(entry.at)}. ${entry.mended ? `Changed: ${entry.mended.text}` : 'Nothing changed yet.'}`;
}

function safetyLines(ctx, sheet, { interrupted, stop_open: open, hazards_read: read }) {
  return [
    ...interrupted.map(({ at, ended }) => `Interrupted ${clock(at)}${ended ? '' : ', not over'}`), ...open.map((id) => `Open: ${sheet.steps[id].call}`),
    read.length ? `Cautions read by ${read.map((id) => ctx.name(sheet, id)).join(', ')}` : 'Cautions not read together', 'Say: floor, guard, gas, gear, first-aider, water tub.',
  ];
}

function counts(sheet, c) {
  return [...Object.entries(c.counts.tallies).map(([what, n]) => `${n} ${what}`), `${c.counts.packs} bags ordered`, ...c.owed.map(({ what, text }) => `Owed: ${what ? labelOf(sheet, what) : text}`)];
}

/** The ten parts of the card. */
export function tenParts(ctx, sheet, c) {
  const { wanted } = ctx;
  return [
    ['Now', [`Boil ${c.now.letter}, ${c.now.title}`, `Reading end: ${c.now.reading_end}`, ...c.now.stations.map((line) => nowLine(sheet, line))]],
    ['Hot', c.hot.map((line) => hotLine(sheet, line, wanted))],
    ['Where', c.where.map((line) => whereLine(sheet, line, wanted))],
    ['Next 10 minutes', c.next.map((line) => nextLine(sheet, line))],
    ['Went off', [...c.off, ...c.changed].map((entry) => offLine(sheet, entry))],
    ['Holds', [`${ctx.name(sheet, c.holds.lead)} has the boil`, ...c.holds.crew.map(({ name, role }) => `${name}, ${role}`)]],
    ['Counts', counts(sheet, c)],
    ['Safety', safetyLines(ctx, sheet, c.safety)],
    ['Questions', ['Ask them now; ‘no questions’ is an answer.']],
    ['Walk', [`Touch or point at: ${c.walk.join(', ')}.`]],
  ];
}

/** The glance card of the zone: four lines. */
export function fourLines(ctx, sheet, g) {
  return [
    ['Now', g.now.stations.slice(-1).map(({ station, step }) => `${stationName(sheet, station)}: ${stepOf(sheet, step).call}`)],
    ['Hot', [...g.hot].sort((a, b) => a.age - b.age).slice(0, 1).map((line) => hotLine(sheet, line, ctx.wanted))],
    ['Next', g.next.slice(0, 1).map((line) => nextLine(sheet, line))],
    ['Has the boil', [`${ctx.name(sheet, g.lead)} stays, you shadow`]],
  ];
}
