/** Which of the symbols in view is meant. Pure. */

/** Side of the aiming square as a share of the picture's side. */
export const AIM = 0.68;

/**
 * @typedef {object} Sighting
 * @property {string} text
 * @property {{x: number, y: number, width: number, height: number}} box where it is, in pixels
 */

/**
 * The texts to go by in a square picture: of the symbol over its very middle, else of those whose
 * middle lies in the aiming square, else of all. More than one text means that it isn't clear.
 * @param {readonly Sighting[]} found
 * @param {number} side of the picture
 * @returns {string[]} each text once
 */
export function aimedAt(found, side) {
  const middle = side / 2;
  const over = found.filter(({ box }) =>
    Math.abs(box.x + box.width / 2 - middle) <= box.width / 2 &&
    Math.abs(box.y + box.height / 2 - middle) <= box.height / 2);
  const reach = (AIM / 2) * side;
  const inside = found.filter(({ box }) =>
    Math.abs(box.x + box.width / 2 - middle) <= reach &&
    Math.abs(box.y + box.height / 2 - middle) <= reach);
  const meant = [over, inside, found].find((some) => some.length > 0) ?? [];
  return [...new Set(meant.map((one) => one.text))];
}
