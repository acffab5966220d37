// What a line of the wall says: the texts alone.

import { t, within } from '../record/language.js';
import { bigFigure } from './figures.js';
import { clock as timeOf, minutesSeconds, secondsLeft } from './times.js';

const MINUTE = 60000;
const nameOf = (sheet, station) => sheet.stations.find(({ id }) => id === station)?.name ?? station;

/** `4:09` to a deadline, or `+0:12` for how long it has rung. */
function ofClock({ label, deadline }, now) {
  const left = secondsLeft(deadline, now);
  return { number: `${left < 0 ? '+' : ''}${minutesSeconds(Math.abs(left))}`, unit: '', says: left > 0 ? t`${t(label)}, till ${timeOf(deadline)}` : t`over: ${t(label)} rings` };
}

/** How long the oldest part sticks, as a range; nothing where it is too cold. */
function ofSticks({ part, low, high }) {
  if (high <= 0) return { number: '0', unit: t`min`, says: t`Too cold to join: warm it` };
  const most = Math.ceil(high / MINUTE);
  return { number: low > MINUTE ? `${Math.floor(low / MINUTE)}–${most}` : `<${most}`, unit: t`min`, says: t`${part.name} sticks` };
}

/** The figure the step is about; a range where it is foretold. */
function ofFigure({ sheet, state, step }, wanted) {
  const figure = step.number ? bigFigure(sheet, state, step.number, wanted) : null;
  if (!step.tally) return figure && { ...figure, says: figure.predicted ? t`about ${figure.predicted}` : figure.says };
  const expected = figure && (figure.predicted || `${figure.number} ${figure.unit}`.trim());
  return { number: String(state.tallies[step.tally] ?? 0), unit: t(step.tally), says: expected ? t`of about ${expected}` : '' };
}

/** The latest it may be. */
function ofDue({ state, step }) {
  const by = state.figures[step.due] ?? null;
  return by === null ? null : { number: timeOf(by), unit: '', says: t`at the latest` };
}

const NONE = { number: '', unit: '', says: '' };

function numberOf(ctx, line, now) {
  const { clock, sticks, step } = line;
  if (clock) return ofClock(clock, now);
  if (sticks) return ofSticks(sticks);
  return ofFigure(line, ctx.wanted) ?? ofDue(line) ?? (step ? NONE : null);
}

/** What is in hand: the portion, else the block, with the colours it is made of. */
function piece({ sheet, step }) {
  const own = sheet.portions.filter(({ id }) => id === step?.portion);
  if (own.length) return { piece: own[0].name, portions: own };
  const block = sheet.blocks.find(({ id }) => id === step?.block);
  if (!block) return { piece: '', portions: [] };
  const used = new Set(sheet.parts.filter((part) => part.block === block.id).map(({ portion }) => portion));
  return { piece: block.name, portions: sheet.portions.filter(({ id }) => used.has(id)) };
}

/** The oldest that waits: this station for another, or another for this one. */
function waitWords({ sheet, waits_for: own, waiting }) {
  if (own.length) return t`Waits for ${nameOf(sheet, own[0].station)}: ${sheet.steps[own[0].step].call}`;
  return waiting.length ? t`${nameOf(sheet, waiting[0].station)} waits for this: ${sheet.steps[waiting[0].step].call}` : '';
}

/** Hot sugar: the thermometer, and the mark at which the flame goes off; nothing counts to it. */
function hotWords(ctx, { sheet, state, step }) {
  const [flame, take] = ['flame_off_mark', 'take_off_mark'].map((name) => bigFigure(sheet, state, name, ctx.wanted));
  const then = state.figures.take_off_mark === null ? t`Thermometer suspect: crack test.` : t`Take off at ${`${take.number} ${take.unit}`}`;
  return { call: t`Eyes on the thermometer`, number: flame.number, unit: flame.unit, says: '', piece: t`Flame off at`, waits: then, band: step.band };
}

/** `{call, who, where, number, unit, says, piece, portions, waits, band}` of a line of `wallLines`. */
export function lineWords(ctx, line, now) {
  const { sheet, step, station, by } = line, person = ctx.people(sheet).find(({ id }) => id === by) ?? sheet.people.find(({ id }) => id === by);
  const place = nameOf(sheet, station), role = person ? t(person.role) : '';
  const said = { who: by ? ctx.name(sheet, by) : place, where: by ? [place, role].filter(Boolean).join(' · ') : t`nobody yet`, ...piece(line) };
  const words = { ...said, call: step ? step.call : t(line.clock.label), ...numberOf(ctx, line, now), waits: waitWords(line), band: step?.band ?? '' };
  return line.hot ? { ...words, ...hotWords(ctx, line) } : words;
}

/** What is owed of a boil: how much, and the first of it. */
export function owedWords(sheet, { owed }) {
  if (!owed.length) return '';
  const [{ what, text }] = owed, first = what ? sheet.records[what].label : text;
  return owed.length > 1 ? t`Owed ${owed.length}: ${within(first)} …` : t`Owed: ${within(first)}`;
}

/** A burn that is not over. */
export function burnWords(ctx, sheet, { lead }, burn) {
  const taken = lead.ref && lead.since >= burn.at;
  return { call: t`Burn: flame off`, who: ctx.name(sheet, lead.by), where: t`has the boil`, number: timeOf(burn.at), waits: taken ? '' : t`Take the boil` };
}
