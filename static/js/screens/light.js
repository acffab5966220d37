// Light against glare, or dark for night: chosen on this phone, kept on it.

import { t } from '../record/language.js';

/** What may stand in `data-light`: the first is meant where nothing is chosen. */
const LIGHTS = [['', /*t*/'Light, for day'], ['dark', /*t*/'Dark, for night'], ['phone', /*t*/'Light or dark as the phone is set']];

/** The line of 'This phone' that turns to the next. */
export function lightRow(ctx) {
  const now = LIGHTS.findIndex(([light]) => light === (ctx.shelf.record.light ?? '')), [next, words] = LIGHTS[(now + 1) % LIGHTS.length];
  return [t(LIGHTS[now][1]), t`Press for: ${t(words)}.`, () => wear(ctx, next)];
}

/** The phone's own edge above the page. */
const edge = () => document.querySelector('meta[name=theme-color]')?.setAttribute('content', getComputedStyle(document.documentElement).getPropertyValue('--stone'));

edge();

function wear(ctx, light) {
  document.documentElement.dataset.light = light;
  edge();
  ctx.shelf.setPhone({ light });
}
