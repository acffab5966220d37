// Whether this phone was found ready when it was last tried, in words.

import { t } from '../record/language.js';
import { BUILD } from '../sync/condition.js';
import { clock } from './times.js';

/** Without these a phone is not fit for the kettle. */
export const NEEDED = { home: /*t*/'Starts from the home screen', offline: /*t*/'Works without a network', awake: /*t*/'Keeps its screen on', ring: /*t*/'Rings, and is heard' };

/** `[what, more]`. What was tried with an app of before is said, and does not count against the phone. */
export function readyWords({ record: { ready } }) {
  if (!ready) return [t`Is this phone ready? Not tried yet`, t`Its own steps, and tries that really run. Two minutes.`];
  const missing = Object.keys(NEEDED).filter((id) => ready.ends[id] !== 'works').map((id) => t(NEEDED[id]));
  const when = ready.build === BUILD ? t`Tried at ${clock(ready.at)}.` : t`Tried with an app of before. Try again.`;
  return missing.length ? [t`This phone is not ready`, `${t`Not so: ${missing.join('; ')}.`} ${when}`] : [t`This phone is ready`, when];
}
