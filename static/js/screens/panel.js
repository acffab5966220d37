// A panel of choices over the lower half of a screen; never in the way of the next press.

import { key, put, stamp } from './dom.js';

/** `choices`: [[words, done]]; `typed`: label of a text to type and what to do with it. */
export function panel({ title, lead = '', choices = [], typed, onClose }) {
  const { root, at } = stamp('panel');
  put(at.title, title);
  put(at.lead, lead);
  const close = () => { root.remove(); onClose?.(); };
  at.choices.append(...choices.map(([words, done, className = '']) => key(words, () => { done(); close(); }, className)));
  at.keys.append(key('Close', close));
  if (typed) {
    at.typed.hidden = false;
    put(at.typedLabel, typed.label);
    const write = () => { const text = at.text.value.trim(); if (text) { typed.done(text); close(); } };
    at.text.addEventListener('keydown', (event) => { if (event.key === 'Enter') write(); });
    at.keys.append(key('Write down', write, 'go'));
  }
  root.setAttribute('aria-label', title);
  document.getElementById('app').append(root);
  at.choices.querySelector('button')?.focus({ preventScroll: true });
  return { root, close };
}
