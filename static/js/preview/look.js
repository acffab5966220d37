// The living page: every specimen in a frame as large as a phone, so that it is laid out as on one.

import { SPECIMENS } from './specimens.js';

const list = document.getElementById('specimens'), { frame, light } = list.dataset;

for (const [name, { says, of }] of Object.entries(SPECIMENS)) {
  const figure = document.createElement('figure'), words = document.createElement('figcaption'), phone = document.createElement('iframe');
  words.textContent = says;
  figure.dataset.of = of.join(' ');
  Object.assign(phone, { src: `${frame}?show=${name}&light=${light}`, title: says, width: 390, height: 844, loading: 'lazy' });
  figure.append(words, phone);
  list.append(figure);
}
