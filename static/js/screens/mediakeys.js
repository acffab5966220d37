// Camera and microphone at a station: one press, bound to the step in hand.

import { t } from '../record/language.js';
import { takePhoto } from './files.js';
import { sign } from './sign.js';
import { speak } from './soundnote.js';

const CAMERA = 'M5 17h9l4-6h12l4 6h9v23h-38zM24 36a8 8 0 1 0 0-16a8 8 0 1 0 0 16z';
const MICROPHONE = 'M24 5a6 6 0 0 0-6 6v13a6 6 0 0 0 12 0v-13a6 6 0 0 0-6-6zM11 23a13 13 0 0 0 26 0M24 36v8M16 44h16';

/** Boil, station, the step in hand, its number, and the block it builds. */
function placeOf({ sheet, batch, station, now }) {
  const [step, nth] = now?.split('#') ?? [];
  return { batch, station, step, nth: nth && Number(nth), block: sheet.steps[step]?.block };
}

/** A key that stood empty gets its name and its drawing. */
function furnish(empty, words, line) {
  empty.setAttribute('aria-label', words);
  empty.append(sign(line));
}

/** The focus goes back to the board, so that the next press of a pedal finishes the step. */
export function mediaKeys(place) {
  const use = (take) => () => { place.at.board.focus({ preventScroll: true }); take(place.ctx, placeOf(place)); };
  furnish(place.camera, t`Photo`, CAMERA);
  furnish(place.microphone, t`Speak`, MICROPHONE);
  Object.assign(place, { photo: use(takePhoto), speak: use(speak) });
}
