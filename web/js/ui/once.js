/** Where something is being done right now: the element it was begun with. */
const doing = new WeakSet();

/**
 * A handler that begins nothing while what it began before, with the same element, is still being
 * done: a double tap writes once.
 * @template {Event} E
 * @param {(event: E) => unknown} act
 * @returns {(event: E) => void}
 */
export function once(act) {
  return (event) => {
    const place = /** @type {EventTarget} */ (event.currentTarget);
    if (doing.has(place)) {
      event.preventDefault();
      return;
    }
    const done = act(event);
    if (!(done instanceof Promise)) return;
    doing.add(place);
    done.finally(() => doing.delete(place));
  };
}
