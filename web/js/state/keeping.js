/** @typedef {import('./household.js').Household} Household */

/** @param {string} household its id */
const placeOf = (household) => `crestrail.home.${household}`;

/**
 * Remember, apart from the database, when everything of this household was last at home.
 * @param {Household} household just opened
 * @returns {boolean} whether its database was cleared since: everything was at home once, and the
 *   database knows nothing of it. True only once for each clearing
 */
export function watchKeeping(household) {
  const place = placeOf(household.id);
  const cleared = household.sync.lastHomeAt === null && noted(place) !== null;
  if (cleared) note(place, null);
  const follow = () => {
    const { lastHomeAt } = household.sync;
    if (lastHomeAt !== null && String(lastHomeAt) !== noted(place)) note(place, lastHomeAt);
  };
  household.subscribe((types) => void (types.has('sync') && follow()));
  follow();
  return cleared;
}

/** @returns {Promise<boolean>} whether the browser promised to keep what is stored here */
export async function isLasting() {
  try {
    return (await navigator.storage?.persisted?.()) ?? false;
  } catch {
    return false;
  }
}

/**
 * @param {string} place
 * @returns {string|null}
 */
function noted(place) {
  try {
    return localStorage.getItem(place);
  } catch {
    return null;
  }
}

/**
 * @param {string} place
 * @param {number|null} at ms since 1970; null forgets it
 */
function note(place, at) {
  try {
    if (at === null) localStorage.removeItem(place);
    else localStorage.setItem(place, String(at));
  } catch {
    // without it a clearing goes unnoticed; nothing else depends on it
  }
}
