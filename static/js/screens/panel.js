// A panel of choices over the lower part of a screen; it asks nothing that could wait.

import { t } from '../record/language.js';
import { key, put, stamp } from './dom.js';

/** One panel at a time, over whatever screen is open; closed, also by Escape, it gives the focus back to the board, else to what had it. */
export function lay(root, onClose = () => {}) {
  document.querySelector('.panel')?.dispatchEvent(new Event('close'));
  const before = document.activeElement;
  const close = () => {
    root.remove();
    (document.querySelector('.board') ?? before)?.focus({ preventScroll: true });
    onClose();
  };
  root.addEventListener('close', close, { once: true });
  root.addEventListener('keydown', ({ key: pressed }) => { if (pressed === 'Escape') root.dispatchEvent(new Event('close')); });
  document.getElementById('app').append(root);
  return () => root.isConnected && root.dispatchEvent(new Event('close'));
}

/** `choices`: [[words, done, class]]; `typed`: label of a text to type and what to do with it. */
export function panel({ title, lead = '', choices = [], typed, onClose }) {
  const { root, at } = stamp('panel');
  put(at.title, title);
  put(at.lead, lead);
  root.setAttribute('aria-label', title);
  at.choices.append(...choices.map(([words, done, className = '']) => key(words, () => { close(); done(); }, className)));
  at.keys.append(key(t`Close`, () => close()));
  if (typed) {
    at.typed.hidden = false;
    put(at.typedLabel, typed.label);
    const write = () => { const text = at.text.value.trim(); if (text) { close(); typed.done(text); } };
    at.text.addEventListener('keydown', (event) => { if (event.key === 'Enter') write(); });
    at.keys.append(key(t`Write down`, write, 'go'));
  }
  const close = lay(root, onClose);
  (at.choices.querySelector('button') ?? (typed ? at.text : at.keys.firstChild)).focus({ preventScroll: true });
  return { root, close };
}
