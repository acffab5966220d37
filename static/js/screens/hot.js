// From 140 °C to poured: one scene that speaks and flashes. It asks for nothing and never counts to 'off'.

import { squeeze, stamp } from './dom.js';
import { deadTime } from './keys.js';
import { when } from './when.js';
import { say } from '../record/words.js';

const SPEAK_MS = 20000, CHOICES = [0, 1, 2, 5];

const whole = (value) => (value === null ? 'suspect' : say(value, 'm°C', '', 0));

export function hotScreen(ctx, sheet, state, poured) {
  const { root, at } = stamp('hot');
  const { flame_off_mark: flame, take_off_mark: take } = state.figures;
  at.flame.textContent = whole(flame).replace('\u202f°C', '°');
  at.take.textContent = take === null ? 'Thermometer suspect: crack test.' : `Take off at ${whole(take)}, this thermometer`;
  const ago = when(at.ago, CHOICES);
  const alive = deadTime();
  alive();
  at.poured.addEventListener('click', () => { if (alive()) poured(ago.minutes()); });
  const speak = () => ctx.ring.speak(flame === null ? 'Thermometer suspect. Crack test.' : `Eyes on the thermometer. Flame off at ${whole(flame)}`);
  speak();
  const timer = setInterval(speak, SPEAK_MS);
  const fit = () => [at.eyes, at.glass, at.flame].forEach(squeeze);
  return { root, fit, stop: () => clearInterval(timer) };
}
