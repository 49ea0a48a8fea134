/** What is in the car, what may come in as well, and the boxes they make. */

import { answerLoad } from "../pricing/loading.js";
import { isInCar, runningOuting } from "../state/outing.js";
import { isEmpty } from "./at-the-sale-find.js";
import { findName, furtherFinds } from "./at-the-sale-together.js";

/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {import("./at-the-sale-find.js").Find} Find */

/** The key of the find on the pad, which has no record yet. */
export const NOW = "now";
export const SIDES = /** @type {const} */ (["width_mm", "depth_mm", "height_mm"]);
export const CAR = /** @type {const} */ ([
  "car_length_mm", "car_width_mm", "car_height_mm", "car_opening_width_mm",
  "car_opening_height_mm",
]);

/**
 * A piece or set with its size, as far as it is known.
 * @typedef {object} Item
 * @property {string} key id of its piece, or `NOW`
 * @property {string} name
 * @property {number} count
 * @property {Record<string, any>} size `SIDES` in mm, and `travels_upright`
 */

/** @param {Live[]} kinds @param {any} piece @param {string} key @returns {Item} */
function item(kinds, piece, key) {
  const size = Object.fromEntries([...SIDES, "travels_upright"].map((k) => [k, piece[k] ?? null]));
  return { key, name: findName(kinds, piece), count: piece.count ?? 1, size };
}

/**
 * What was bought on this outing, else today, and is not to be fetched later.
 * @param {any} household
 * @returns {Item[]}
 */
export function inTheCar(household) {
  const outing = runningOuting(household)?.outing;
  const today = household.today();
  const kinds = household.all("kind");
  return household.all("purchase")
    .filter((/** @type {Live} */ p) => (outing ? p.outing_id === outing.id : p.on === today))
    .flatMap((/** @type {Live} */ p) => household.where("piece", "purchase_id", p.id))
    .filter((/** @type {any} */ piece) => isInCar(household, piece))
    .map((/** @type {Live} */ piece) => item(kinds, piece, piece.id));
}

/**
 * The find on the pad and the others of today that are not bought.
 * @param {any} household
 * @param {Find} draft
 * @returns {Item[]}
 */
export function mayComeIn(household, draft) {
  const kinds = household.all("kind");
  const known = draft.id ? household.get("piece", draft.id) : null;
  const now = isEmpty(draft) ? []
    : [item(kinds, { ...(known ?? draft.size), ...named(draft) }, known?.id ?? NOW)];
  const others = furtherFinds(household, draft.id);
  return [...now, ...others.map((piece) => item(kinds, piece, piece.id))];
}

/** @param {Find} find */
function named({ title, kind, count }) {
  return { title, kind, count };
}

/** @param {Item} one @returns {boolean} whether all three sides are known */
export function isMeasured({ size }) {
  return SIDES.every((side) => size[side] > 0);
}

/** @param {any} setting of the household @returns {boolean} whether its car can be reckoned with */
export function isMeasuredCar(setting) {
  return CAR.every((name) => setting[name] > 0);
}

/**
 * Whether all of it goes in, as far as sizes are known; null while the car is not measured.
 * @param {Item[]} items
 * @param {any} setting of the household
 */
export function loadAnswer(items, setting) {
  if (!isMeasuredCar(setting)) return null;
  const [length, width, height, ...opening] = CAR.map((name) => setting[name]);
  const boxes = items.filter(isMeasured).flatMap((one) => Array.from({ length: one.count }, (_, i) => ({
    name: one.count > 1 ? `${one.name}, no. ${i + 1}` : one.name,
    box: { size: SIDES.map((s) => one.size[s]), upright: Boolean(one.size.travels_upright) },
  })));
  const car = { hold: [length, width, height], opening };
  const answer = answerLoad(boxes.map(({ box }) => box), car);
  const large = boxes[Number(answer.why?.split(":")[1])];
  return {
    answer, passesHold: Boolean(large) && answerLoad([large.box], wideOpen(car)).fits,
    names: boxes.map(({ name }) => name), hold: car.hold,
    unknown: items.filter((one) => !isMeasured(one)),
  };
}

/** The same hold with nothing before it. @param {{hold: number[], opening: number[]}} car */
function wideOpen({ hold: [length, width, height] }) {
  return { hold: [length, width, height], opening: [width, height] };
}
