// Which phone this is, as far as its steps differ: by what its browser can; the user agent is asked
// only for a version and a name.

import { t } from '../record/language.js';

// Version 18.4: until then a home-screen app's screen went dark all the same (WebKit bug 254545).
const AWAKE_FROM = 1804;

/** What is looked at. */
export const seen = () => ({
  home: navigator.standalone, offers: 'onbeforeinstallprompt' in window, gecko: CSS.supports('-moz-appearance', 'none'),
  touch: matchMedia('(pointer: coarse)').matches, installed: matchMedia('(display-mode: standalone)').matches, agent: navigator.userAgent,
});

/** `18.4` as 1804. */
const version = (agent) => { const found = agent.match(/(?:Version\/|OS )(\d+)[._](\d+)/); return found ? found[1] * 100 + Number(found[2]) : null; };

/** `{id, home, version, name}`: `apple`, `android`, `firefox` or `desktop`; whether it runs from a home screen;
 * the version where that matters, null where it is not told. Only Apple's touch browsers know `standalone`. */
export function systemOf({ home, offers, gecko, touch, installed, agent }) {
  if (typeof home === 'boolean' && touch) return { id: 'apple', home: home || installed, version: version(agent), name: /iPhone/.test(agent) ? 'iPhone' : 'iPad' };
  if (!touch) return { id: 'desktop', home: installed, version: null, name: t`computer` };
  return { id: gecko || !offers ? 'firefox' : 'android', home: installed, version: null, name: t`phone` };
}

/** Whether a wake lock may be believed here. */
export const staysDark = ({ id, home, version: found }) => id === 'apple' && home && found !== null && found < AWAKE_FROM;

const HOME = {
  apple: [
    [/*t*/'Press Share, then ‘Add to Home Screen’', /*t*/'Share is the square with an arrow up. On some it is behind a row of dots.'],
    [/*t*/'Close this tab and start Kettleside from its icon', /*t*/'The icon has a memory of its own: add the phone there once more, with new figures from the office.'],
  ],
  android: [
    [/*t*/'Press the three dots, then ‘Add to home screen’ or ‘Install’', /*t*/'Without the Internet it may only make a shortcut. That is enough.'],
    [/*t*/'Start Kettleside from its icon', /*t*/'It goes on where it stood: nothing is to be added again.'],
  ],
  firefox: [
    [/*t*/'Press the three dots, then ‘Add app to home screen’', /*t*/'This browser trusts the shop’s certificate only by a hidden setting: where it warns, take the phone’s own browser.'],
    [/*t*/'Start Kettleside from its icon', /*t*/'It goes on where it stood: nothing is to be added again.'],
  ],
  desktop: [[/*t*/'Nothing to do on a computer', /*t*/'Fine for trying. At the kettle take a phone: sealed, wiped, counted.']],
};
const SOUND = {
  apple: [/*t*/'Mute switch off, volume up', /*t*/'The switch on the side, or in the Control Centre. Muted, an iPhone may ring without a sound.'],
  android: [/*t*/'Media volume up, ‘Do not disturb’ off', /*t*/'Press a volume key, then the slider with the note.'],
  desktop: [/*t*/'Volume up', /*t*/'And the right speaker chosen.'],
};
const AWAKE = {
  apple: [/*t*/'Settings, Display & Brightness, Auto-Lock: Never', /*t*/'Set it back after work. Low Power Mode locks after 30 s whatever is set: off.'],
  android: [/*t*/'Settings, Display, Screen timeout: the longest', /*t*/'And battery saving off for the browser: it stops pages that wait.'],
  desktop: [/*t*/'Energy settings: never turn the screen off', /*t*/'While it is at the kettle.'],
};

/** The steps of this system alone, those that are done left out: `[[what, why]]`. */
export function stepsOf(system, ends = {}) {
  const of = (table) => table[system.id] ?? table.android;
  const dark = staysDark(system) || ['fails', 'cannot'].includes(ends.awake);
  return [...(system.home ? [] : of(HOME)), ...(ends.ring === 'works' ? [] : [of(SOUND)]), ...(dark ? [of(AWAKE)] : [])];
}
