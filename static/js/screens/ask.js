// Asking whoever holds the phone what only they can say: heard, felt.

import { t } from '../record/language.js';
import { panel } from './panel.js';

/** True, false, or null where nobody said; `again()` gives it once more. */
export const ask = (title, lead, again) => new Promise((done) => {
  const said = (answer) => () => { answered = true; done(answer); };
  let answered = false;
  panel({ title, lead, choices: [[t`Yes`, said(true), 'go'], [t`No`, said(false)], [t`Once more`, () => { answered = true; again(); done(ask(title, lead, again)); }, 'wide']], onClose: () => queueMicrotask(() => { if (!answered) done(null); }) });
});
