// Spot questions: the one who leaves asks, the one who comes answers, the card tells who was right.

import { t } from '../record/language.js';
import { spotWords } from './card.js';
import { panel } from './panel.js';

/** Read by two at arm's length. */
const big = (asked) => panel(asked).root.classList.add('spot');

/** One after another; `fresh()` gives state and questions now, `done(n)` how many were right. */
export function askSpots(ctx, sheet, fresh, done) {
  let right = 0;
  function ask(n) {
    const [state, questions] = fresh();
    if (n === questions.length) { done(right); big({ title: t`${right} of ${questions.length} right`, lead: right < questions.length ? t`Read the card once more together.` : '' }); return; }
    const [question, answer] = spotWords(ctx, sheet, state, questions[n]);
    const next = (add) => () => { right += add; ask(n + 1); };
    const shown = () => big({ title: answer, lead: question, choices: [[t`Right`, next(1), 'go'], [t`Not yet`, next(0)]] });
    big({ title: `${n + 1}. ${question}`, lead: t`Say it aloud first.`, choices: [[t`Show the answer`, shown, 'go wide']] });
  }
  ask(0);
}
