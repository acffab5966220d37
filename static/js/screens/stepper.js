// A whole number set by − and +, in big keys.

import { t } from '../record/language.js';
import { key } from './dom.js';
import { lay } from './panel.js';

export function stepperPanel({ title, start, low, high, unit, word, done }) {
  const root = document.createElement('section'), heading = document.createElement('h2'), stepper = document.createElement('div'), feet = document.createElement('div');
  root.className = 'panel';
  root.setAttribute('role', 'dialog');
  root.setAttribute('aria-label', title);
  heading.textContent = title;
  stepper.className = 'stepper';
  feet.className = 'keys';
  let n = start;
  const value = Object.assign(document.createElement('output'), { className: 'value' });
  const show = () => { value.textContent = `${n} ${unit}`; };
  const by = (add) => key(`${add < 0 ? '−' : '+'}${Math.abs(add) > 1 ? Math.abs(add) : ''}`, () => { n = Math.min(high, Math.max(low, n + add)); show(); }, Math.abs(add) > 1 ? 'coarse' : '');
  stepper.append(by(-10), by(-1), value, by(1), by(10));
  root.append(heading, stepper, feet);
  const close = lay(root);
  feet.append(key(t`Close`, close), key(word, () => { close(); done(n); }, 'go'));
  show();
  feet.lastChild.focus({ preventScroll: true });
}
