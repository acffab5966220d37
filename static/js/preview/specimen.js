// One specimen, in a frame of the living page.

import { beginOf, event, eventsUpTo, exampleContext, lay } from './example.js';
import { SPECIMENS } from './specimens.js';

const SECOND = 1000, asked = new URLSearchParams(location.search), app = document.getElementById('app');
const sheet = JSON.parse(document.getElementById('sheet').textContent);

/** The boil up to a step, then whatever more has happened, a second each; `more` may depend on when [ms]. */
function context(step, more = []) {
  const events = eventsUpTo(sheet, step, beginOf(sheet)), last = events.at(-1).happened;
  const wanted = typeof more === 'function' ? more(last) : more, after = wanted.map((entry, i) => event(sheet, events.length + i + 1, last + (i + 1) * SECOND, entry));
  return exampleContext(sheet, [...events, ...after], last + (wanted.length + 1) * SECOND);
}

document.documentElement.dataset.light = asked.get('light') ?? '';
app.inert = true;
SPECIMENS[asked.get('show')].draw({ sheet, context, lay });
