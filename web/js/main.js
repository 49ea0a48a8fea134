import { openHousehold } from './state/household.js';
import { findHousehold } from './state/households.js';
import { watchKeeping } from './state/keeping.js';
import { startWorker, takeOverWhenIdle } from './state/worker.js';
import './ui/shell.js';
import { showToast } from './ui/toast.js';

/** @typedef {import('./state/household.js').Household} Household */
/**
 * @typedef {HTMLElement & {household: Household|null, updateReady: boolean,
 *   updateComplete: Promise<boolean>}} Shell
 */

/** Open the household, draw the shell; a phone that was never paired is shown how to. */
async function boot() {
  const shell = /** @type {Shell} */ (document.createElement('crest-shell'));
  const identity = await findHousehold();
  const household = identity ? await openHousehold(identity) : null;
  const cleared = household !== null && watchKeeping(household);
  shell.household = household;
  document.body.replaceChildren(shell);
  performance.mark('crestrail-ready');
  if (cleared) await sayCleared(shell);
  document.addEventListener('visibilitychange', () => void whenHidden(household));
  await startWorker((apply) => {
    shell.updateReady = true;
    shell.addEventListener('update-accepted', apply, { once: true });
  }).catch((error) => sayOnlineOnly(shell, error));
}

/** @param {Shell} shell @param {Error} error why the app's files are not kept on this phone */
async function sayOnlineOnly(shell, error) {
  console.warn(error);
  await shell.updateComplete;
  showToast({ text: 'The app could not be kept on this phone: it opens only while home answers.' });
}

/** @param {Shell} shell */
async function sayCleared(shell) {
  await shell.updateComplete;
  showToast({
    text: 'This browser has cleared what was kept here. Home still has what was sent; '
      + 'it is being fetched again.',
  });
}

/** @param {Household|null} household */
async function whenHidden(household) {
  if (document.visibilityState !== 'hidden') return;
  if (!household || !(await household.hasDrafts())) await takeOverWhenIdle();
}

boot().catch((error) => {
  const words = document.createElement('p');
  words.setAttribute('role', 'alert');
  words.textContent = `Crestrail could not start: ${error.message}`;
  document.body.replaceChildren(words);
  throw error;
});
