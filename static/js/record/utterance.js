// What is spoken, as parts: names of `said.js`, whole numbers and figures one by one. No line says that
// something is to come off, none counts down, none asks for a press.

import SAID from './said.js';

const HUNDRED = 100, MOST = 400, HOUR = 60, COUNTED = ['lid', 'skin'];

const whole = (number) => ({ number }), figures = (number) => ({ figures: number });
const minutes = (n) => (n === 1 ? ['minute'] : [whole(n), 'minutes']);
/** A countdown that a shop made for itself has no name here. */
const named = (id) => COUNTED.filter((known) => known === id);

/** The mark is said as a number and figure by figure: forty and fourteen are one word in noise. `mark` is
 * in whole degrees as read, null where the thermometer is suspect. */
export const hot = (mark) => (mark === null ? ['suspect'] : ['eyes', 'mark', whole(mark), figures(mark)]);
export const poured = () => ['poured'];
/** A countdown `id` of so many whole minutes has begun. */
export const begun = (id, n) => [...named(id), ...(n > 0 && n < HOUR ? minutes(n) : [])];
/** A countdown is over; `late` whole minutes after its time, where that is one or more. */
export const over = (id, late = 0) => [...named(id), 'time', ...(late < 1 ? [] : late < HOUR ? [...minutes(late), 'late'] : ['long'])];
export const silent = () => ['silent'];
export const burn = () => ['burn'];
export const heard = () => ['heard'];

/** Names of a whole number's parts, 0 to 399; German says the ones before the tens. */
function ofNumber(language, n) {
  const rest = n % HUNDRED, ones = rest % 10, tens = rest - ones, hundreds = n >= HUNDRED ? [`h${Math.floor(n / HUNDRED)}`] : [];
  if (rest === 0 && hundreds.length) return hundreds;
  if (rest < 20 || !ones) return [...hundreds, `n${rest}`];
  return language === 'de' ? [...hundreds, `u${ones}`, `n${tens}`] : [...hundreds, `n${tens}`, `n${ones}`];
}

/** Figure by figure; two is `zwo` in German, which nobody takes for three. */
const ofFigures = (language, n) => [...String(n)].map((figure) => (language === 'de' && figure === '2' ? 'd2' : `n${figure}`));

/** Names of the recordings that say it, part by part. Larger numbers only figure by figure. */
export function recordings(language, line) {
  return line.map((part) => {
    if (typeof part === 'string') return [part];
    const { number, figures: single } = part;
    if (single !== undefined) return ofFigures(language, single);
    return number < MOST ? ofNumber(language, number) : ofFigures(language, number);
  });
}

/** The same as text, for a voice of the phone's own. */
export function text(language, line) {
  const words = SAID[language];
  return line.map((part) => {
    if (typeof part === 'string') return words[part];
    const { number, figures: single } = part;
    return single === undefined ? `${number}` : `. ${ofFigures(language, single).map((name) => words[name]).join(', ')}.`;
  }).join(' ').replaceAll(' . ', '. ');
}

/** Whether there are words in a language. */
export const speaks = (language) => language in SAID;
