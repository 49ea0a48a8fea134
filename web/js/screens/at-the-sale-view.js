/** Everything that follows from a find and the household, as the screen shows it. */

import { cautionsFor, dealBreakers } from "../care/cautions.js";
import { FLAWS, inspectionFor } from "../care/inspection.js";
import { priceFind } from "../pricing/pad.js";
import { runningOuting } from "../state/outing.js";
import { byUse, padInput, situationOf, tally, waitingFor } from "./at-the-sale-find.js";
import { faceOf } from "./at-the-sale-words.js";

/** @typedef {import("./at-the-sale-find.js").Find} Find */
/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {ReturnType<typeof viewOf>} View */

/**
 * @param {any} household
 * @param {Find} find
 */
export function viewOf(household, find) {
  /** @type {Live[]} */
  const kinds = household.all("kind");
  /** @type {Live[]} */
  const steps = household.all("step");
  const kind = kinds.find((one) => one.slug === find.kind);
  const cautions = cautionsFor(situationOf(find, kind, steps));
  const stops = dealBreakers(cautions);
  const input = padInput(find, kind, steps);
  const answer = priceFind(household.book, input);
  return {
    kind, kinds, steps, cautions, stops, input, answer,
    face: faceOf(answer, stops),
    traits: /** @type {Live[]} */ (household.all("trait")),
    setUp: Boolean(household.setting.set_up_at),
    running: runningOuting(household),
    waiting: waitingFor(household.all("want"), find, household.today()),
  };
}

/**
 * What the form is drawn from, ages by the minute: a key on the ask changes the answer only.
 * @param {any} household
 * @param {Find} find
 */
export function besidesAsk(household, find) {
  const minute = Math.floor(household.now().getTime() / 60_000);
  return [household.memory, household.memory.version, minute, ...Object.values({ ...find, ask: null })];
}

/** @typedef {ReturnType<typeof countedChoices>} Choices */
/** @type {WeakMap<object, {mark: string, choices: Choices}>} the last ones, until records change */
const counted = new WeakMap();

/**
 * The lists to choose from, most used until yesterday first, so that nothing moves under the thumb
 * while finds are decided; looks and steps as used on pieces of the same kind.
 * @param {any} household
 * @param {View} view
 * @returns {Choices}
 */
export function choicesOf(household, view) {
  const mark = `${household.memory.version} ${household.today()} ${view.kind?.slug}`;
  const known = counted.get(household);
  if (known?.mark === mark) return known.choices;
  const choices = countedChoices(household, view);
  counted.set(household, { mark, choices });
  return choices;
}

/** @param {any} household @param {View} view */
function countedChoices(household, { kinds, traits, steps, kind }) {
  const today = household.today();
  /** @type {Live[]} */
  const pieces = household.all("piece").filter((/** @type {Live} */ { on }) => !(on >= today));
  const same = kind ? pieces.filter((piece) => piece.kind === kind.slug) : pieces;
  const ids = new Set(same.map((piece) => piece.id));
  /** @type {Live[]} */
  const chosen = household.all("piece_step");
  const done = chosen.filter((one) => ids.has(one.piece_id)).map((one) => one.step);
  return {
    kinds: byUse(kinds, tally(pieces.map((piece) => piece.kind))),
    traits: byUse(traits, tally(same.flatMap((piece) => piece.traits ?? []))),
    steps: byUse(steps.filter((step) => !step.standing), tally(done)),
    flaws: flawsFor(kind?.care ?? []),
  };
}

/**
 * All flaws, those first that the checks before paying ask for with such a kind.
 * @param {string[]} care
 * @returns {{slug: string, name: string}[]}
 */
export function flawsFor(care) {
  const asked = inspectionFor(care).map((check) => check.raises);
  const rank = (/** @type {string} */ code) => {
    const place = asked.indexOf(code);
    return place < 0 ? asked.length : place;
  };
  return [...FLAWS]
    .sort((a, b) => rank(a.code) - rank(b.code))
    .map(({ code, name }) => ({ slug: code, name }));
}

/**
 * The name under which a slug is known; the slug itself where it is not.
 * @param {Live[]} records
 * @param {string | null | undefined} slug
 */
export function nameOf(records, slug) {
  return records.find((record) => record.slug === slug)?.name ?? slug ?? "";
}
