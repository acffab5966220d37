// Every component of the floor in its states, drawn by the phones' own modules over an example boil.
// `of`: the modules that it is the place of; `shows`: what must stand there; `draw(stage)` lays it into the page.

import { card, spots } from '../record/handover.js';
import { addScreen } from '../screens/add.js';
import { ask } from '../screens/ask.js';
import { backScreen } from '../screens/back.js';
import { boilsScreen, stationsScreen } from '../screens/boils.js';
import { burnScreen } from '../screens/burn.js';
import { carryEntries } from '../screens/carry.js';
import { cautionsScreen } from '../screens/cautions.js';
import { earlierPanel, lightPanel, markPanel, passPanel, writePanel } from '../screens/choices.js';
import { item, key, putLines, row, stamp, toggle } from '../screens/dom.js';
import { section, swatch } from '../screens/drawing.js';
import { endScreen } from '../screens/end.js';
import { guideScreen } from '../screens/guide.js';
import { handoverScreen } from '../screens/handover.js';
import { incidentScreen } from '../screens/incident.js';
import { mendPanel } from '../screens/mend.js';
import { owedScreen } from '../screens/owed.js';
import { panel } from '../screens/panel.js';
import { peopleScreen } from '../screens/people.js';
import { phoneScreen } from '../screens/phone.js';
import { sweet } from '../screens/pieces.js';
import { pinPanel } from '../screens/pin.js';
import { readingPanels } from '../screens/reading.js';
import { readyScreen } from '../screens/ready.js';
import { sacksPanel } from '../screens/sacks.js';
import { brokenScreen, lockedScreen, movedScreen, oldAppScreen } from '../screens/shut.js';
import { askSpots } from '../screens/spots.js';
import { stationScreen } from '../screens/station.js';
import { stepperPanel } from '../screens/stepper.js';
import { when } from '../screens/when.js';

const CUES = ['last-minutes', 'pulled', 'faces'];

/** A station at a step; `over(ctx, sheet)`: what is opened over it. */
const at = (step, over = () => {}, more) => (stage) => {
  const ctx = stage.context(step, more), { station } = stage.sheet.steps[step];
  stage.lay(ctx, stationScreen(ctx, stage.sheet.batch, station));
  over(ctx, stage.sheet, station);
};
/** A screen that is no station, at a step of the boil. */
const page = (make, step, more) => (stage) => { const ctx = stage.context(step, more); stage.lay(ctx, make(ctx, stage.sheet.batch)); };
const reading = (what) => (ctx, { batch }, station) => readingPanels(ctx, { batch, whats: [what], station, undo: null, done: () => {} });
const went = { kind: 'went_off', body: { code: 'grain' } };

/** Parts on a sheet of stone, each with its name. */
const parts = (make) => (stage) => {
  const { root, at: place } = stamp('list');
  place.title.textContent = 'Parts';
  make(root, stage.sheet);
  stage.lay(stage.context('cook.light'), { root, where: () => 'Parts' });
};

function keys(root) {
  const feet = Object.assign(document.createElement('div'), { className: 'feet' }), ago = Object.assign(document.createElement('div'), { className: 'ago' }), list = document.createElement('ul');
  feet.append(key('At rest', () => {}), toggle('Pressed', true, () => {}), key('To go on', () => {}, 'go'), key('Burn', () => {}, 'burn-key'));
  when(ago, [1, 2, 5]);
  list.className = 'rows';
  list.append(row({ what: 'A row that is pressed', more: 'and what it says', press: () => {} }), row({ what: 'A row that is read', more: 'no key' }), item('A struck line', 'gone'));
  root.append(feet, ago, list);
}

function pictures(root, sheet) {
  const line = (...nodes) => { const li = Object.assign(document.createElement('div'), { className: 'feet' }); li.append(...nodes); root.append(li); };
  line(...sheet.portions.map(swatch).map((drawn) => { drawn.style.width = '60px'; return drawn; }));
  line(...sheet.portions.slice(0, 3).map((portion, i) => { const drawn = sweet(sheet, portion, { low: 0.6 - i * 0.3, high: 0.9 - i * 0.3 }); drawn.style.width = '96px'; return drawn; }));
  line(section(sheet));
  const list = Object.assign(document.createElement('ul'), { className: 'lines' });
  putLines(list, CUES);
  root.append(...CUES.map((name) => Object.assign(new Image(), { className: 'look', src: new URL(`../../cues/${name}.svg`, import.meta.url).href, alt: name })));
}

export const SPECIMENS = {
  board: { says: 'Now, next, and who waits', of: ['station', 'board', 'rail', 'mediakeys', 'sign'], shows: '.rail, .finish, .waits', draw: at('setup.card') },
  number: { says: 'A number, the portion in hand, the tray', of: ['pieces', 'drawing'], shows: '.number, .swatch, .tray', draw: at('colour.brown') },
  hook: { says: 'At the hook: the white', of: [], shows: '.swatch', draw: at('hook.pull') },
  block: { says: 'Laying up: the section, what sticks, a ring for its time', of: ['layup'], shows: '.sticks .sweet, .drawing .section', draw: at('block.hive') },
  check: { says: 'A second person’s yes', of: [], shows: '.lookers button', draw: at('block.check') },
  count: { says: 'Counted: plus one', of: [], shows: '.finish', draw: at('roller.draw') },
  lots: { says: 'Which lot goes in', of: ['lots'], shows: '.lots button', draw: at('setup.weigh-sugar') },
  hot: { says: 'From 140 °C to poured', of: ['hot'], shows: '.hot-mark', draw: at('cook.poured') },
  rest: { says: 'Nothing left at this station', of: [], shows: '.at-rest', draw: at('pack.phones', () => {}, [{ kind: 'step_done', station: 'packing', step: 'pack.phones', body: {} }]) },
  burn: { says: 'Burn', of: ['burn'], shows: '.burn-clock', draw: page(burnScreen, 'cook.poured', [{ kind: 'interrupted', body: { cause: 'burn' } }]) },
  bars: { says: 'What calls: a ring, a burn', of: ['bars', 'battery'], shows: '.ring-bar', draw: at('table.middle', () => {}, (last) => [{ kind: 'countdown_started', station: 'table', body: { id: 'skin', label: 'Skin', deadline: last } }, { kind: 'interrupted', body: { cause: 'burn' } }]) },
  write: { says: 'Write down', of: ['choices', 'panel'], shows: '.panel .choices button', draw: at('cook.load', (ctx, { batch }, station) => writePanel(ctx, { batch, station, now: null, ask: () => {} })) },
  marks: { says: 'What went off', of: [], shows: '.panel .choices button', draw: at('cook.load', (ctx, { batch }, station) => markPanel(ctx, batch, station, null)) },
  mend: { says: 'What we changed', of: ['mend'], shows: '.panel', draw: at('cook.load', (ctx, sheet) => mendPanel(ctx, sheet, ctx.state(sheet.batch).off[0], []), [went]) },
  pass: { says: 'Pass', of: [], shows: '.panel', draw: at('cook.load', (ctx, { batch }, station) => passPanel(ctx, batch, station, 'cook.load')) },
  light: { says: 'Lit with stop items open', of: [], shows: '.panel .go', draw: at('cook.light', (ctx, sheet) => lightPanel(ctx, sheet, sheet.stop_items.slice(0, 2), () => {})) },
  stepper: { says: 'A reading by − and +', of: ['reading', 'when'], shows: '.stepper button', draw: at('cook.load', reading('peak')) },
  pad: { says: 'The number pad', of: [], shows: '.pad button', draw: at('pack.humidity', reading('pack_humidity')) },
  grades: { says: 'A grade', of: [], shows: '.grades button', draw: at('cook.load', reading('crack_colour')) },
  ago: { says: 'Longer ago', of: ['stepper'], shows: '.panel', draw: at('cook.load', () => earlierPanel(() => {})) },
  amount: { says: 'A stepper of its own', of: [], shows: '.panel', draw: at('cook.load', () => stepperPanel({ title: 'How much?', start: 5, low: 1, high: 9, unit: 'kg', word: 'Write down', done: () => {} })) },
  sacks: { says: 'All lots of a station', of: ['sacks'], shows: '.panel', draw: at('cook.load', (ctx, { batch }) => sacksPanel(ctx, batch, 'setup')) },
  pin: { says: 'A PIN', of: ['pin'], shows: '.pad button', draw: at('cook.load', (ctx) => pinPanel(ctx, { id: 'maren', name: 'Maren', done: () => {} })) },
  ask: { says: 'What only whoever holds the phone can say', of: ['ask'], shows: '.panel .go', draw: at('cook.load', () => { ask('Did you hear it?', 'Where the phone will stand, with the roller running.', () => {}); }) },
  choose: { says: 'A choice, and a text to type', of: ['named'], shows: '.typed', draw: at('cook.load', () => panel({ title: 'Which?', lead: 'Work goes on without an answer.', choices: [['One', () => {}], ['The usual one', () => {}, 'go']], typed: { label: 'Or in words', done: () => {} } })) },
  spots: { says: 'A spot question', of: ['spots'], shows: '.spot', draw: at('roller.draw', (ctx, sheet) => askSpots(ctx, sheet, () => { const state = ctx.state(sheet.batch); return [state, spots(card(sheet, state, ctx.shelf.now()))]; }, () => {})) },
  carry: { says: 'Carry another phone’s entries', of: ['carry'], shows: '.rail', draw: at('cook.load', (ctx) => carryEntries(ctx)) },
  today: { says: 'Today’s boils', of: ['boils'], shows: '.places button', draw: page(boilsScreen, 'cook.boil') },
  stations: { says: 'The stations of a boil', of: [], shows: '.rod-drawing', draw: page(stationsScreen, 'cook.boil') },
  people: { says: 'Who presses?', of: ['people'], shows: '.row', draw: page(peopleScreen, 'cook.boil') },
  phone: { says: 'This phone', of: ['phone', 'light', 'press', 'aloud'], shows: '.row', draw: page(phoneScreen, 'cook.boil') },
  ready: { says: 'Is this phone ready?', of: ['ready', 'checks'], shows: '.feet .go', draw: page(readyScreen, 'cook.boil') },
  add: { says: 'Add this phone', of: ['add'], shows: '.pad button', draw: page(addScreen, 'cook.boil') },
  back: { says: 'Look back', of: ['back', 'entries'], shows: '.row', draw: page(backScreen, 'cook.boil', [went]) },
  owed: { says: 'Owed', of: ['owed'], shows: '.row', draw: page(owedScreen, 'roller.draw') },
  card: { says: 'Handover: the card, or the glance card in the zone', of: ['handover', 'card'], shows: '.part', draw: page(handoverScreen, 'roller.draw') },
  cautions: { says: 'Cautions, read together', of: ['cautions'], shows: '.row', draw: page(cautionsScreen, 'cook.load') },
  end: { says: 'Close the boil', of: ['end'], shows: 'button', draw: page(endScreen, 'pack.phones') },
  note: { says: 'Injury or near miss', of: ['incident'], shows: '.form', draw: page(incidentScreen, 'cook.boil') },
  guide: { says: 'How to work with it', of: ['guide'], shows: '.guide', draw: page((ctx) => guideScreen(ctx, 'maker-01'), 'cook.boil') },
  broken: { says: 'It can’t save', of: ['shut'], shows: '.broken', draw: page(brokenScreen, 'cook.boil') },
  locked: { says: 'Locked out', of: [], shows: 'h1', draw: page(lockedScreen, 'cook.boil') },
  moved: { says: 'The shop has moved', of: [], shows: 'h1', draw: page((ctx) => { ctx.shelf.record.moved = 'https://example.org'; return movedScreen(ctx); }, 'cook.boil') },
  old: { says: 'An app that is too old to begin', of: [], shows: 'h1', draw: page(oldAppScreen, 'cook.boil') },
  keys: { says: 'Keys and rows', of: ['dom'], shows: '[aria-pressed=true], .go, .gone', draw: parts(keys) },
  drawn: { says: 'Sweets, rings, the section, cue pictures', of: [], shows: '.sweet, .look', draw: parts(pictures) },
};
