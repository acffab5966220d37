// From 140 °C to poured: one scene that speaks and flashes. It asks for nothing and never counts to 'off'.

import { say } from '../record/words.js';
import { put, stamp } from './dom.js';
import { badge } from './drawing.js';
import { fit } from './fit.js';
import { onPress } from './keys.js';
import { when } from './when.js';

const SPEAK_MS = 20000, EDGE = 52;

export function hotScreen(ctx, sheet, state, ends, poured) {
  const { root, at } = stamp('hot');
  const { flame_off_mark: flame, take_off_mark: take } = state.figures;
  const whole = (value) => say(value, 'm°C', ctx.wanted['m°C'], 0).replace('\u202f', ' ');
  const ago = when(at.ago, sheet.wait_choices_min);
  const step = sheet.steps[ends];
  put(at.take, take === null ? 'Thermometer suspect: crack test.' : `Take off at ${whole(take)}`);
  at.whose.hidden = take === null;
  put(at.band, step.band);
  put(at.caution, step.caution);
  at.plate.append(badge(sheet.boil));
  onPress(at.poured, () => poured(ago.minutes()));
  function sizes() {
    const room = (Math.min(innerWidth, 960) - EDGE) * (innerWidth > innerHeight ? 0.55 : 1);
    const low = innerHeight <= 720;
    fit(at.eyes, 'Eyes on the', low ? 44 : 82, room);
    fit(at.glass, 'thermometer', low ? 44 : 82, room);
    fit(at.flame, flame === null ? '–' : whole(flame).replace(/ °.$/, '°'), low ? 120 : 150, room);
  }
  sizes();
  const speak = () => ctx.ring.speak(flame === null ? 'Thermometer suspect. Crack test.' : `Eyes on the thermometer. Flame off at ${whole(flame)}`);
  speak();
  const timer = setInterval(speak, SPEAK_MS);
  return { root, stop: () => clearInterval(timer) };
}
