// Camera and microphone at a station: one press, bound to the step in hand.

import { t } from '../record/language.js';
import { key } from './dom.js';
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

/** The focus goes back to the board, so that the next press of a pedal finishes the step. */
function mediaKey(place, words, line, use) {
  const found = key('', () => { place.at.board.focus({ preventScroll: true }); use(place.ctx, placeOf(place)); });
  found.setAttribute('aria-label', words);
  found.append(sign(line));
  return found;
}

/** Put beside the station's other keys; where things are counted there is no room for the second, and it is under 'Write'. */
export function mediaKeys(place) {
  const camera = mediaKey(place, t`Photo`, CAMERA, takePhoto), microphone = mediaKey(place, t`Speak`, MICROPHONE, speak);
  const show = () => { microphone.hidden = !place.ended.hidden; };
  new MutationObserver(show).observe(place.ended, { attributeFilter: ['hidden'] });
  show();
  // On the narrowest phones four keys stand in a row: the camera takes the place of one of the minutes.
  const narrow = matchMedia('(max-width: 360px)'), stand = () => (narrow.matches ? place.at.stamps.append(camera) : microphone.before(camera));
  place.at.keys.append(microphone);
  narrow.addEventListener('change', stand);
  stand();
}
