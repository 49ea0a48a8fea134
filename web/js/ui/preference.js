/** Small habits of one device that are no record: whether the number is covered. */

/**
 * Whether a habit is on; off where the browser keeps nothing.
 * @param {string} name
 */
export function isKept(name) {
  try {
    return localStorage.getItem(name) === "on";
  } catch {
    return false;
  }
}

/**
 * @param {string} name
 * @param {boolean} on
 */
export function keep(name, on) {
  try {
    if (on) localStorage.setItem(name, "on");
    else localStorage.removeItem(name);
  } catch {
    // A browser that keeps nothing forgets the habit; nothing else is lost.
  }
}
