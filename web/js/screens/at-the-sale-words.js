/** What the card shows big, and the workings in words; pure. The sentences are the pad's own. */

import { NOTHING, WATERFALL, sentences } from "../pricing/words.js";
import { aboutMoney, moneyWords } from "../ui/words.js";

/** @typedef {import("../pricing/pad.js").PadAnswer} PadAnswer */
/** @typedef {import("../pricing/pad.js").PadRefusal} PadRefusal */

/**
 * @typedef {object} Face what the card shows big
 * @property {"empty" | "stop" | "over" | "nothing" | "most"} state
 * @property {string} label
 * @property {string} number
 * @property {"" | "note" | "danger"} tone
 */

/**
 * What the card shows big: a deal-breaker before any number, then whether the ask is over it.
 * @param {PadAnswer | PadRefusal} answer
 * @param {{title: string}[]} stops deal-breakers
 * @returns {Face}
 */
export function faceOf(answer, stops) {
  if (stops.length) {
    return { state: "stop", label: "Don't take this one", number: "Walk away", tone: "danger" };
  }
  if (!answer.ok) return { state: "empty", label: "Most to pay", number: "", tone: "" };
  if (answer.most <= 0) {
    return { state: "nothing", label: "Most to pay", number: moneyWords(0), tone: "note" };
  }
  const over = answer.atAsk?.over ?? 0;
  if (over > 0) {
    return { state: "over", label: "Over by", number: moneyWords(over), tone: "note" };
  }
  return { state: "most", label: "Most to pay", number: moneyWords(answer.most), tone: "" };
}

/**
 * The answer in sentences: estimates without cents, the ask to the cent.
 * @param {PadAnswer} answer
 */
export function said(answer) {
  const ask = answer.atAsk?.ask;
  return sentences(answer, (minor) => (minor === ask ? moneyWords(minor) : aboutMoney(minor)));
}

/**
 * The answer in the fewest words, for a card of one line.
 * @param {Face} face
 * @param {PadAnswer} answer
 */
export function brief(face, { most, atAsk, range, nothingReason }) {
  if (face.state === "over") return `Most to pay ${moneyWords(most)}`;
  if (nothingReason) return NOTHING[nothingReason];
  if (!atAsk) return `Likely brings ${aboutMoney(range.likely)}`;
  const way = atAsk.clear < 0 ? "lose" : "clear";
  return `At ${moneyWords(atAsk.ask)} you ${way} ${aboutMoney(Math.abs(atAsk.clear))}`;
}

/**
 * The workings in words.
 * @param {{key: string, amount: number}[]} rows
 * @returns {import("../ui/waterfall.js").WaterfallRow[]}
 */
export function workings(rows) {
  return rows.map(({ key, amount }, i) => ({
    label: WATERFALL[key] ?? key,
    amount,
    place: i === 0 ? "start" : i === rows.length - 1 ? "end" : undefined,
  }));
}

/**
 * Everything the card says, in one line for a screen reader.
 * @param {Face} face
 * @param {PadAnswer | PadRefusal} answer
 */
export function spoken(face, answer) {
  if (face.state === "empty") return "";
  if (face.state === "stop" || !answer.ok) return face.number;
  const most = face.state === "over" ? `, most to pay ${moneyWords(answer.most)}` : "";
  return `${face.label} ${face.number}${most}. ${said(answer).atAsk ?? ""}`.trim();
}
