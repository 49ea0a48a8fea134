/** What the answers about asking and offers are asked with: the piece as the pad would see it. */

import { askedOf, holdRecord, plannedOf } from "../state/asking.js";
import { fromPiece, padInput } from "./at-the-sale-find.js";

/** @typedef {import("../state/pieces.js").PieceView} PieceView */

/** @param {any} household @param {PieceView} view */
function findOf(household, { piece, steps }) {
  const kind = household.where("kind", "slug", piece.kind)[0];
  const find = padInput(fromPiece(piece, steps, []), kind, household.all("step"));
  return { ...find, ask: null, finished_grade: piece.finished_grade ?? null };
}

/**
 * The input for `answerAsking`.
 * @param {any} household
 * @param {PieceView} view
 * @param {{price: number | null, by: string, last: string}} typed
 * @returns {import("../pricing/for-sale.js").AskingInput}
 */
export function askingInput(household, view, { price, by, last }) {
  return {
    find: findOf(household, view),
    today: household.today(),
    last_on: last || null,
    asked: askedOf(household, view.piece),
    prices: price ? [price] : [],
    by_on: by || null,
  };
}

/**
 * The input for `answerPieceOffer`.
 * @param {any} household
 * @param {PieceView} view
 * @param {{offer: number | null, others: number}} typed
 */
export function offerInput(household, view, { offer, others }) {
  const today = household.today();
  const drops = plannedOf(household, view.piece).filter(({ from_on: on }) => on > today);
  return {
    find: findOf(household, view),
    today,
    asked: askedOf(household, view.piece),
    planned: drops.map(({ amount, from_on: on }) => ({ amount, on })),
    offer,
    others,
    ...holdRecord(household),
  };
}
