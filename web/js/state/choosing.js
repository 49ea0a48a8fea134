/** The best choice among finds: at once where it is easily proven, else worked on beside. */

import { QUICK, answerChoice } from '../pricing/choosing.js';

/** How long a hard case is worked on, in milliseconds. */
const PATIENCE = 1000;

/** @typedef {ReturnType<typeof answerChoice>} Answer */

/**
 * The best choice that is quickly found; where it is not proven the search goes on in a worker,
 * and `onBetter` is told what it finds, the last time with `searching` false.
 * @param {object[]} finds `{value, cash, minutes, litres}` each
 * @param {Record<string, number>} limits
 * @param {(answer: Answer & {searching: boolean}) => void} onBetter
 * @returns {{answer: Answer & {searching: boolean}, stop: () => void}}
 */
export function chooseBest(finds, limits, onBetter) {
  const answer = answerChoice(finds, limits, QUICK);
  if (!answer.ok || answer.proven) return { answer: { ...answer, searching: false }, stop() {} };
  const worker = new Worker(new URL('./choosing-worker.js', import.meta.url), { type: 'module' });
  worker.addEventListener('message', ({ data }) => {
    if (!data.searching) worker.terminate();
    onBetter(data);
  });
  worker.addEventListener('error', () => {
    worker.terminate();
    onBetter({ ...answer, searching: false });
  });
  worker.postMessage({ finds, limits, patience: PATIENCE });
  return { answer: { ...answer, searching: true }, stop: () => worker.terminate() };
}
