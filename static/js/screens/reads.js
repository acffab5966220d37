// Another language or other degrees: brought when somebody presses who reads them.

import { readIn, t } from '../record/language.js';
import { read } from '../record/reader.js';
import { wordsBy } from './dom.js';

/** What a template says, in the reader's language. */
function inWords(root) {
  const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) walk.currentNode.data = t(walk.currentNode.data);
  for (const element of root.querySelectorAll('[aria-label]')) element.setAttribute('aria-label', t(element.getAttribute('aria-label')));
}

/** Lays the words of `de degF` over all that is shown from now on; false where others were wanted meanwhile. */
export async function readSo(ctx, wanted) {
  const [language, degrees] = wanted.split(' '), english = language === 'en';
  const words = english ? null : (await import(`../words/${language}.js`)).default, kept = new WeakMap();
  if (ctx.reading !== wanted) return false;
  readIn(words);
  wordsBy(words && inWords);
  document.documentElement.lang = language;
  const once = (sheet) => kept.get(sheet) ?? kept.set(sheet, read(sheet, degrees === 'degF')).get(sheet);
  ctx.reader = english && !degrees ? null : once;
  return true;
}
