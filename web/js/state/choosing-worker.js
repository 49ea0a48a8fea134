/**
 * Looks for the best choice away from the main thread. Takes `{finds, limits, patience}` and
 * answers with every round of the search, each four times as long as the one before, until it is
 * proven or a further round would take longer than `patience` milliseconds in all.
 */
import { QUICK, answerChoice } from '../pricing/choosing.js';

const LONGER = 4;

self.addEventListener('message', ({ data: { finds, limits, patience } }) => {
  const begun = performance.now();
  for (let budget = QUICK * LONGER; ; budget *= LONGER) {
    const start = performance.now();
    const answer = answerChoice(finds, limits, budget);
    const now = performance.now();
    const searching = !answer.proven && now - begun + LONGER * (now - start) < patience;
    self.postMessage({ ...answer, searching });
    if (!searching) break;
  }
});
