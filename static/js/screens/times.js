// Moments and stretches of time in words.

import { t } from '../record/language.js';

const two = (n) => String(n).padStart(2, '0');

/** `11:26`. Put together by hand: the browser's own words for a time take a fifth of a second to load. */
export function clock(ms) {
  const time = new Date(ms);
  return `${two(time.getHours())}:${two(time.getMinutes())}`;
}

const long = (minutes) => (minutes < 120 ? `${minutes} min` : `${Math.round(minutes / 60)} h`);

/** `4 min ago`, `now`. */
export function ago(ms) {
  const minutes = Math.floor(ms / 60000);
  if (minutes < 1) return t`now`;
  return t`${long(minutes)} ago`;
}

/** `, for 4 min`: how long something has lasted; '' where nobody knows or it has just begun. */
export const lasting = (ms) => (ms === null || ms < 60000 ? '' : t`, for ${long(Math.floor(ms / 60000))}`);

/** `4:09`, of a number of seconds; `over by 0:12` below nought. */
export function minutesSeconds(seconds) {
  const size = Math.abs(seconds);
  return `${seconds < 0 ? t`over by ` : ''}${Math.floor(size / 60)}:${two(size % 60)}`;
}

export const secondsLeft = (deadline, now) => Math.round((deadline - now) / 1000);
