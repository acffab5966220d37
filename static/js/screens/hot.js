// From 140 °C to poured: one scene that flashes, while `prompts.js` speaks. It asks for nothing and never counts to 'off'.

import { t } from '../record/language.js';
import { say } from '../record/words.js';
import { hide, put, stamp } from './dom.js';
import { badge } from './drawing.js';
import { fit } from './fit.js';
import { onPress } from './keys.js';
import { when } from './when.js';

const EDGE = 52;

export function hotScreen(ctx, sheet, state, ends, poured) {
  const { root, at } = stamp('hot');
  const { flame_off_mark: flame, take_off_mark: take } = state.figures;
  const whole = (value) => say(value, 'm°C', ctx.wanted['m°C'], 0).replace('\u202f', ' ');
  const both = (value) => (ctx.wanted['m°C'] ? `${whole(value)} · ${say(value, 'm°C', '', 0)}` : whole(value));
  const ago = when(at.ago, sheet.wait_choices_min);
  const step = sheet.steps[ends];
  put(at.take, take === null ? t`Thermometer suspect: crack test.` : t`Take off at ${both(take)}`);
  hide(at.whose, take === null);
  put(at.band, step.band);
  put(at.caution, step.caution);
  at.plate.append(badge(sheet.boil));
  onPress(at.poured, () => poured(ago.minutes()));
  function sizes() {
    const room = (Math.min(innerWidth, 960) - EDGE) * (innerWidth > innerHeight ? 0.55 : 1);
    const low = innerHeight <= 720;
    fit(at.eyes, t`Eyes on the`, low ? 44 : 82, room);
    fit(at.glass, t`thermometer`, low ? 44 : 82, room);
    fit(at.flame, flame === null ? '–' : whole(flame).replace(/ °.$/, '°'), low ? 120 : 150, room);
  }
  sizes();
  new ResizeObserver(sizes).observe(root);
  return { root };
}
