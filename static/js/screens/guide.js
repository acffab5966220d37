// How to work with it: short pages, kept on the phone with the rest of the app.

import { t } from '../record/language.js';
import { guideText, placeOf } from '../sync/guide.js';
import { key, put, stamp } from './dom.js';

const INDEX = 'index', NAME = /^(?:maker|owner)-\d\d$/;

export function guideScreen(ctx, asked) {
  const { root, at } = stamp('list'), name = NAME.test(asked ?? '') ? asked : INDEX;
  root.classList.add('guide');
  lookOf('guide');
  put(at.lead, t`One moment …`);
  at.feet.append(key(name === INDEX ? t`Back` : t`All pages`, () => ctx.go(name === INDEX ? '/phone' : '/guide')));
  guideText(name).then((text) => {
    if (text === null) return put(at.lead, t`This page is not on the phone yet. Let it reach the shop once.`);
    put(at.lead, '');
    at.title.remove();
    root.prepend(article(text));
  });
  return { root, where: () => t`How to work` };
}

/** A style sheet that few screens need; done when it is here, or can't be had. */
export function lookOf(name) {
  if (document.querySelector(`link[href$="${name}.css"]`)) return null;
  const sheet = document.createElement('link');
  sheet.rel = 'stylesheet';
  sheet.href = placeOf(`css/${name}.css`);
  document.head.append(sheet);
  return new Promise((done) => { sheet.onload = sheet.onerror = done; });
}

/** The page's own elements; our own text, and nothing in it runs. */
function article(text) {
  const page = new DOMParser().parseFromString(text, 'text/html'), body = document.createElement('article');
  for (const picture of page.querySelectorAll('img')) {
    picture.loading = 'lazy';
    picture.src = placeOf(`guide/${picture.getAttribute('src')}`);
  }
  body.append(...page.body.childNodes);
  return body;
}
