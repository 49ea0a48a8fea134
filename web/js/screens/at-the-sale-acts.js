/** What a person decides at the sale, and what they are told of it. */

import * as finds from "../state/finds.js";
import * as outings from "../state/outings.js";
import { keepPlace } from "../state/returns.js";
import { whereAmI } from "../ui/position.js";
import { showToast } from "../ui/toast.js";
import { findOf } from "./at-the-sale-again.js";
import { DRAFT, fromDraft, isEmpty, isUntouched } from "./at-the-sale-find.js";
import { slugOf } from "./slug.js";

/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {import("../state/finds.js").Look} Look */
/** @typedef {{how: "passed" | "later"} | {how: "bought"} & import("../state/finds.js").Terms}
 *   Decision */
/** @typedef {{text: string, undo: () => unknown}} Said what to tell the person */

const SAVED = "Saved on this phone. Goes home with the next sync.";
const TYPES = /** @type {const} */ ({ kinds: "kind", traits: "trait", steps: "step" });
const TOLD = { passed: "Passed.", later: "Left for later.", bought: "Bought." };

/**
 * Keep a find as passed, left for later or bought.
 * @param {any} household
 * @param {Look} look
 * @param {Decision} decision
 * @returns {Promise<Said>}
 */
export async function decide(household, look, decision) {
  const { undo } = await kept(household, look, decision);
  const back = async () => {
    await undo();
    await giveBack(household, look);
  };
  return { text: `${TOLD[decision.how]} ${SAVED}`, undo: back };
}

/** @param {any} household @param {Look} look @param {Decision} decision */
function kept(household, look, decision) {
  if (decision.how === "bought") return finds.buy(household, look, decision);
  return decision.how === "later" ? finds.later(household, look) : finds.pass(household, look);
}

/**
 * A find whose decision was taken back: onto the pad again, or left for later where another one
 * was begun there since.
 * @param {any} household
 * @param {Look} look
 */
async function giveBack(household, look) {
  const begun = padInUse()?.find ?? fromDraft(await household.draft(DRAFT));
  if (isUntouched(begun)) return putOnPad(household, look.find);
  await finds.later(household, look);
  showToast({ text: "Taken back. You have begun another find since, so this one is left for later: "
    + "it is under “Passed and later”." });
}

/**
 * Put a find on the pad, also where one has gone to another screen meanwhile.
 * @param {any} household
 * @param {Look["find"]} find
 */
function putOnPad(household, find) {
  const pad = padInUse();
  return pad ? pad.change(find) : household.saveDraft(DRAFT, find);
}

/**
 * A find that makes way for another on the pad is left for later, unless all that was said of it is
 * kept already.
 * @param {any} household
 * @param {Look} look
 */
export async function makeWay(household, look) {
  const { find } = look;
  const piece = find.id ? household.get("piece", find.id) : null;
  if (isEmpty(find) || (piece && alike(findOf(household, piece), find))) return;
  const { undo } = await finds.later(household, look);
  const back = async () => {
    await undo();
    await putOnPad(household, find);
  };
  showToast({ text: "The find you had begun is left for later.", undo: back });
}

/** @param {Look["find"]} a @param {Look["find"]} b */
function alike(a, b) {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** @returns {import("./at-the-sale.js").AtTheSale | null} */
function padInUse() {
  return document.querySelector("screen-at-the-sale");
}

/**
 * Add a kind, a look or a step that was not in the list.
 * @param {any} household
 * @param {"kinds" | "traits" | "steps"} listed
 * @param {Record<string, any>} fields
 * @returns {Promise<string>} its slug
 */
export async function addListed(household, listed, fields) {
  const type = TYPES[listed];
  const taken = household.all(type).map((/** @type {Live} */ one) => one.slug);
  const slug = slugOf(fields.name, taken);
  await finds.addListed(household, type, { ...fields, slug });
  return slug;
}

/** @typedef {Parameters<typeof outings.startOuting>[1]} Typed in the sheet of the outing */

/**
 * Start an outing, at its first sale if one was named.
 * @param {any} household
 * @param {Typed} typed
 * @returns {Promise<Said>}
 */
export async function setOut(household, typed) {
  const { ids, undo } = await outings.startOuting(household, typed);
  if (typed.here) rememberPlace(household, ids);
  return { text: `Off you go. ${SAVED}`, undo };
}

/**
 * At another sale of the outing under way.
 * @param {any} household
 * @param {Typed} typed
 * @returns {Promise<Said>}
 */
export async function goOn(household, typed) {
  const { ids, undo } = await outings.addStop(household, typed);
  if (typed.here) rememberPlace(household, ids);
  return { text: typed.name ? `Now at ${typed.name}.` : "Going on.", undo };
}

/** Where the sale is, once the phone says so. @param {any} household @param {string[]} ids */
async function rememberPlace(household, ids) {
  const place = await whereAmI();
  const stop = ids.find((id) => household.get("stop", id));
  if (place && stop) await keepPlace(household, stop, place);
}

/**
 * The outing is over.
 * @param {any} household
 * @param {{driven: number | null}} typed metres, null when not said
 * @returns {Promise<Said>}
 */
export async function endOuting(household, { driven }) {
  const { undo } = await outings.endOuting(household, driven);
  return { text: `The outing is over. ${SAVED}`, undo };
}
