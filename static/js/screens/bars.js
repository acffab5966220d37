// Bars under the rail: what calls from any boil, whatever screen is open. A burn first, then rings.

import { t } from '../record/language.js';
import { inZone } from '../record/steps.js';
import { key, put, stamp } from './dom.js';
import { batteryBar } from './battery.js';
import { badge } from './drawing.js';
import { isShut, openBurn } from './context.js';
import { askWho } from './named.js';
import { clock, minutesSeconds, secondsLeft } from './times.js';

/** What is looked at first. While somebody is burnt and nobody has taken the boil, or a flame is asked about, nothing quiet stands between. */
const RANKS = { burn: 0, asks: 1, calls: 2, quiet: 3 };

const stop = (ctx, batch, id) => ctx.write({ batch, kind: 'countdown_stopped', body: { id } });

/** The mate takes the boil; on a phone that bears nobody's name, or that of whoever has it, who that is is asked. */
function takeFrom(ctx, batch) {
  const sheet = ctx.sheet(batch), { by: from } = ctx.state(batch).lead, { by } = ctx.shelf.phone;
  const take = () => ctx.write({ batch, kind: 'boil_taken', for: '', body: { from } });
  if (by && by !== from) take(); else askWho(ctx, t`Who takes the boil?`, ctx.people(sheet).filter(({ id }) => id !== from), take);
}

function burnBar(ctx, batch, sheet, state) {
  const burn = openBurn(state), { lead } = state;
  if (!burn) return [];
  const taken = lead.ref && lead.since >= burn.at, drill = [t`Drill`, () => ctx.go(`/b/${batch}/burn`)];
  return [{
    id: `burn${burn.ref}${taken ? 'taken' : ''}`, batch, className: 'alarm-bar', rank: taken ? RANKS.calls : RANKS.burn,
    words: taken ? t`Burn ${clock(burn.at)}. Flame off. ${ctx.name(sheet, lead.by)} has the boil` : t`Burn ${clock(burn.at)}. Flame off, take the boil`,
    keys: taken ? [drill] : [[t`Take the boil`, () => takeFrom(ctx, batch)], drill],
  }];
}

function ringBars(ctx, batch, sheet, state) {
  const now = ctx.shelf.now();
  return state.countdowns.filter(({ deadline }) => deadline <= now).map(({ id, label, deadline, station }) => ({
    id: `ring${id}`, batch, className: 'ring-bar', rank: RANKS.calls,
    words: `${sheet.stations.find((s) => s.id === station)?.name ?? ''} ${t(label)} ${minutesSeconds(secondsLeft(deadline, now))}${ctx.ring?.lateWords(batch, { id, deadline }) ?? ''}`.trim(),
    keys: [[t`Answer`, () => stop(ctx, batch, id)]],
  }));
}

/** The log was turned: where the picture has a wrong side, every phone says so until somebody answers. */
function turnBar(ctx, batch, sheet, { turns, reading_end_turned: turned }) {
  const last = turns.at(-1);
  if (!last || last.seen || sheet.picture.mirror_symmetric) return [];
  const seen = () => ctx.write({ batch, kind: 'seen', body: { target: last.refs[0] } });
  return [{ id: `turn${last.refs[0]}`, batch, className: 'alarm-bar', rank: RANKS.calls, words: turned ? t`Log turned: from rod ${last.from_rod} the other end reads` : t`Log turned: from rod ${last.from_rod} it reads as marked again`, keys: [[t`Answer`, seen]] }];
}

const atCard = (batch) => location.hash === `#/b/${batch}/handover`;

function offerBar(ctx, batch, sheet, { offer }) {
  const { by } = ctx.shelf.phone;
  if (!offer || (by && offer.to !== by) || atCard(batch)) return [];
  const who = by ? t`you` : ctx.name(sheet, offer.to), from = ctx.name(sheet, offer.by);
  return [{ id: `offer${offer.ref}`, batch, className: '', words: offer.glance ? t`${from} shows ${who} the card: look on` : t`${from} hands over to ${who}`, keys: [[t`Look`, () => ctx.go(`/b/${batch}/handover`)]] }];
}

/** Whoever had the boil is told who has it now, until they have seen it. */
function takenBar(ctx, batch, sheet, { lead }) {
  const { by } = ctx.shelf.phone;
  if (!by || !lead.ref || lead.from !== by || lead.by === by || lead.seen !== null) return [];
  const seen = () => ctx.write({ batch, kind: 'seen', body: { target: lead.ref } });
  return [{ id: `taken${lead.ref}`, batch, className: '', words: t`${ctx.name(sheet, lead.by)} has the boil now, ${clock(lead.since)}`, keys: [[t`Seen`, seen]] }];
}

/** After the last rod is cut the boil goes to whoever has shadowed. */
function waitingBar(ctx, batch, sheet, state) {
  const { lead, shadows, offer, phase } = state;
  if (!shadows.length || offer || phase !== 'open' || lead.by !== ctx.shelf.phone.by || atCard(batch) || inZone(sheet, state)) return [];
  return [{ id: `waiting${shadows.join()}`, batch, className: '', words: t`${ctx.name(sheet, shadows[0])} has shadowed: hand over`, keys: [[t`Look`, () => ctx.go(`/b/${batch}/handover`)]] }];
}

function conflictBar(ctx, batch, { conflicts }) {
  if (!conflicts.length) return [];
  return [{ id: `settle${conflicts.length}`, batch, className: '', words: t`Two entries disagree`, keys: [[t`Settle`, () => ctx.go(`/b/${batch}/back`)]] }];
}

function barsOf(ctx, batch, here) {
  const sheet = ctx.sheet(batch), state = ctx.state(batch);
  const asks = (ctx.silence?.bars(batch) ?? []).map((bar) => ({ ...bar, rank: RANKS.asks }));
  const loud = [...burnBar(ctx, batch, sheet, state), ...ringBars(ctx, batch, sheet, state), ...turnBar(ctx, batch, sheet, state), ...asks];
  return here ? [...loud, ...offerBar(ctx, batch, sheet, state), ...takenBar(ctx, batch, sheet, state), ...waitingBar(ctx, batch, sheet, state), ...conflictBar(ctx, batch, state)] : loud;
}

/** Work goes on without a name; what is pressed meanwhile says that nobody was chosen. */
function whoBar(ctx) {
  if (ctx.shelf.phone.by || location.hash === '#/people') return [];
  return [{ id: 'who', batch: '', className: '', words: t`Who presses?`, keys: [[t`Say who`, () => ctx.go('/people')]] }];
}

function makeBar(ctx, { batch, className, keys }) {
  const { root, at } = stamp('bar');
  root.className = `bar ${className}`;
  if (className === 'alarm-bar') root.setAttribute('role', 'alert');
  if (batch) at.mark.append(badge(ctx.sheet(batch).boil));
  root.append(...keys.map(([words, press]) => key(words, press)));
  return { root, words: at.words };
}

/** Bars are made once for what they stand for; only their words follow the clock. The boil in hand
 * is looked at with every change, the others (`all`) only every second: they need not be read at a start. */
export function makeBars(ctx) {
  const root = document.createElement('div'), standing = new Map();
  let found = new Map();
  root.className = 'bars';
  function show(wanted) {
    const names = new Set(wanted.map((bar) => bar.batch + bar.id));
    for (const [name, bar] of standing) if (!names.has(name)) { bar.root.remove(); standing.delete(name); }
    wanted.forEach((bar, i) => {
      const name = bar.batch + bar.id;
      if (!standing.has(name)) standing.set(name, makeBar(ctx, bar));
      const { root: own, words } = standing.get(name);
      // One that stands where it should is left alone: somebody may be pressing it.
      if (root.children[i] !== own) root.insertBefore(own, root.children[i] ?? null);
      put(words, bar.words);
    });
  }
  return {
    root,
    update({ batch, burning }, all = false) {
      if (!ctx.shelf.phone || isShut(ctx)) { show([]); return; }
      if (all) found = new Map(ctx.boils().map(({ id }) => [id, barsOf(ctx, id, id === batch)]));
      else if (batch) found.set(batch, barsOf(ctx, batch, true));
      // The scene of the pour is asked for nothing more; the board is left its room.
      const hot = document.body.classList.contains('is-hot'), own = hot ? [] : [...batteryBar(ctx), ...whoBar(ctx)].slice(0, 1);
      const bars = [...[...found.values()].flat().filter((bar) => !(burning && bar.batch === batch && bar.id.startsWith('burn'))), ...own, ...(ctx.soundBar?.() ?? [])];
      const ranked = bars.map((bar) => ({ rank: RANKS.quiet, ...bar, ...(hot && bar.rank !== RANKS.burn && { id: `hot${bar.id}`, keys: [] }) })).sort((a, b) => a.rank - b.rank);
      // Over the drill, and beside a burn, nothing is asked that could wait.
      show(ranked.filter(({ rank }) => rank < RANKS.quiet || !(burning || ranked[0].rank < RANKS.calls)));
    },
  };
}
