// Handing the boil over: the whole card, or the glance card inside the zone; offered, then taken.

import { card, glance } from '../record/handover.js';
import { say } from '../record/words.js';
import { ago, clock, key, stamp } from './dom.js';
import { panel } from './panel.js';

const records = (sheet, key_) => sheet.records[key_.split('#')[0]];
const callOf = (sheet, key_) => sheet.steps[key_.split('#')[0]].call;

function hotLine(sheet, { what, value, age, stale }) {
  return `${records(sheet, what).label} ${say(value, 'm°C', '', 0)}, ${ago(age)}${stale ? ', old' : ''}`;
}

function whereLine(sheet, entry) {
  if (entry.block) return `${sheet.blocks.find(({ id }) => id === entry.block).name}: ${entry.built ? 'built' : 'not built'}`;
  return `${sheet.portions.find(({ id }) => id === entry.portion).name} ${say(entry.value, 'mg')}, weighed ${ago(entry.age)}`;
}

const nextLine = (sheet, { station, step, due }) => `${due ? `${clock(due)} ` : ''}${sheet.stations.find(({ id }) => id === station).name}: ${callOf(sheet, step)}`;

function offLine(sheet, { code, text, mended }) {
  const words = sheet.checks.find(({ id }) => id === code)?.say ?? sheet.marks.find(({ id }) => id === code)?.words ?? text ?? code;
  return mended ? `${words}. Changed: ${mended.text}` : words;
}

/** The ten parts as titles and lines. */
function tenParts(ctx, sheet, c) {
  const name = (id) => ctx.name(sheet, id);
  return [
    ['Now', [`Boil ${c.now.letter}, ${c.now.title}`, `Reading end: ${c.now.reading_end}`, ...c.now.stations.map((s) => `${sheet.stations.find(({ id }) => id === s.station).name}: ${callOf(sheet, s.step)}, ${s.done} of ${s.total}`)]],
    ['Hot', c.hot.map((line) => hotLine(sheet, line))],
    ['Where', c.where.map((line) => whereLine(sheet, line))],
    ['Next 10 minutes', c.next.map((line) => nextLine(sheet, line))],
    ['Went off', [...c.off, ...c.changed].map((line) => offLine(sheet, line))],
    ['Holds', [`${name(c.holds.lead)} has the boil`, ...c.holds.crew.map((p) => `${p.name}, ${p.role}`)]],
    ['Counts', [...Object.entries(c.counts.tallies).map(([what, n]) => `${n} ${what}`), `${c.counts.packs} bags ordered`, ...c.owed.map((o) => `Owed: ${o.what ? records(sheet, o.what).label : o.text}`)]],
    ['Safety', [...c.safety.interrupted.map(({ at, ended }) => `Interrupted ${clock(at)}${ended ? '' : ', not over'}`), ...c.safety.stop_open.map((id) => `Open: ${sheet.steps[id].call}`), `Cautions read by ${c.safety.hazards_read.map(name).join(', ') || 'nobody yet'}`]],
    ['Questions', ['Ask them now; ‘no questions’ is an answer.']],
    ['Walk', c.walk],
  ];
}

const fourLines = (ctx, sheet, g) => [
  ['Now', g.now.stations.slice(0, 2).map((s) => callOf(sheet, s.step))], ['Hot', g.hot.map((line) => hotLine(sheet, line))],
  ['Next', g.next.map((line) => nextLine(sheet, line))], ['Has the boil', [`${ctx.name(sheet, g.lead)} stays, you shadow`]],
];

function part([title, lines]) {
  const { root, at } = stamp('part');
  at.title.textContent = title;
  at.lines.append(...(lines.length ? lines : ['–']).map((words) => Object.assign(document.createElement('li'), { textContent: words })));
  return root;
}

export function handoverScreen(ctx, batch) {
  const { root, at } = stamp('card');
  const sheet = ctx.shelf.sheet(batch);
  const walked = new Set();
  let shown = '';

  const offer = (to, short) => ctx.write({ batch, kind: 'handover_offered', body: { to, glance: short } });
  const take = (ref, questions) => ctx.write({ batch, kind: 'handover_taken', body: { target: ref, questions, walked: sheet.walk.filter((place) => walked.has(place)) } });
  const people = (short) => panel({ title: 'To whom?', choices: sheet.people.filter(({ id }) => id !== ctx.shelf.phone.by).map(({ id, name }) => [name, () => offer(id, short)]) });
  const questions = (ref) => panel({
    title: 'Questions?', choices: [['No questions', () => take(ref, 'No questions'), 'go']],
    typed: { label: 'Asked and answered', done: (text) => take(ref, text) },
  });

  function feet(state, short) {
    const own = state.offer && state.offer.to === ctx.shelf.phone.by;
    const places = own ? sheet.walk.map((place) => {
      const button = key(place, () => { walked.has(place) ? walked.delete(place) : walked.add(place); button.setAttribute('aria-pressed', String(walked.has(place))); });
      button.setAttribute('aria-pressed', String(walked.has(place)));
      return button;
    }) : [];
    const main = own ? [key(state.offer.glance ? 'I shadow from here' : 'I take over', () => questions(state.offer.ref), 'go')]
      : state.offer ? [key(`Offered to ${ctx.name(sheet, state.offer.to)}`, () => people(short))] : [key(short ? 'Show the newcomer' : 'Hand over', () => people(short), 'go')];
    const take_ = state.lead.by === ctx.shelf.phone.by ? [] : [key('Take the boil', () => ctx.write({ batch, kind: 'boil_taken', body: { from: state.lead.by } }))];
    return [...places, ...main, ...take_, key('Back', () => ctx.go(`/b/${batch}`))];
  }

  function update() {
    const state = ctx.state(batch), now = ctx.shelf.now(), whole = card(sheet, state, now), short = whole.in_zone;
    const parts = short ? fourLines(ctx, sheet, glance(sheet, state, now)) : tenParts(ctx, sheet, whole);
    const text = JSON.stringify([parts, state.offer, state.lead, ctx.shelf.phone.by]);
    if (text === shown) return;
    shown = text;
    at.title.textContent = short ? 'Glance card' : 'Handover';
    root.classList.toggle('glance', Boolean(short));
    at.parts.replaceChildren(...parts.map(part));
    at.feet.replaceChildren(...feet(state, short));
  }
  return { root, batch, update, where: () => 'Hand over' };
}
