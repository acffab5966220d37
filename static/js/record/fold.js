// The fold: (sheet, events) → state; shop/record/fold.py does exactly the same.
// The shape of the state is in docs/contracts.md, section 4.

import { life, tallies, words } from './aspects.js';
import { deviations } from './deviations.js';
import { evaluate } from './graph.js';
import { Live } from './live.js';
import { inOrder } from './order.js';
import { hands, twoTook } from './people.js';
import { dropped, foldSteps, moments, owed, reopenedUnseen } from './progress.js';
import { foldValues, latest, twoCorrections } from './values.js';

export { history } from './live.js';

/** The state of a batch after these events, in whatever order and number they come. */
export function fold(sheet, events) {
  const live = new Live(sheet, inOrder(events));
  const steps = foldSteps(live);
  const values = foldValues(sheet, live);
  const inputs = { moments: moments(sheet, steps), latest: latest(values), tallies: tallies(live) };
  const figures = evaluate(sheet.graph, inputs);
  return {
    ...life(sheet, live), ...inputs, figures, steps, values,
    dropped: dropped(live),
    owed: owed(sheet, live, steps, values),
    off: deviations(sheet, live, steps, values, figures),
    conflicts: [...reopenedUnseen(live), ...twoCorrections(live), ...twoTook(sheet, live)],
    ...hands(sheet, live), ...words(live),
    unread: live.unread, unfiled: live.unfiled,
  };
}
