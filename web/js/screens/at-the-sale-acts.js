/** What a person decides at the sale, as one write each: all of it is kept, or nothing. */

import { runningOuting } from "../state/outing.js";
import { slugOf } from "./slug.js";

/** @typedef {import("./at-the-sale-find.js").Find} Find */
/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {import("./at-the-sale-view.js").View} View */
/** @typedef {{type: string, id?: string, fields: Record<string, any>}} Change */

/**
 * @typedef {object} Decision
 * @property {"passed" | "later" | "bought"} how
 * @property {number} [paid] minor units
 * @property {{by: Date | null, where: string} | null} [fetch]
 */

/** @typedef {{text: string, undo: () => unknown}} Said what to tell the person */

const SAVED = "Saved on this phone. Goes home with the next sync.";
const TYPES = /** @type {const} */ ({ kinds: "kind", traits: "trait", steps: "step" });

/**
 * Keep a find as passed, left for later or bought, with its steps and photos and the answer as it
 * stood at that moment.
 * @param {any} household
 * @param {{find: Find, view: View}} seen
 * @param {Decision} decision
 * @returns {Promise<Said>}
 */
export async function decide(household, { find, view }, decision) {
  const id = find.id ?? household.newId();
  const bought = decision.how === "bought" ? purchaseOf(household, find, view, decision) : null;
  const { undo } = await household.write([
    ...(bought ? [bought] : []),
    pieceOf(household, { find, view, id, how: decision.how, purchase: bought?.id ?? null }),
    ...stepsOf(household, id, find),
    ...photosOf(household, id, find),
    ...predictionOf(household, id, { find, view }, decision.how),
  ]);
  return { text: `${TOLD[decision.how]} ${SAVED}`, undo };
}

const TOLD = { passed: "Passed.", later: "Left for later.", bought: "Bought." };

/**
 * @param {any} household
 * @param {{find: Find, view: View, id: string, how: Decision["how"], purchase: string | null}} it
 * @returns {Change}
 */
function pieceOf(household, { find, view, id, how, purchase }) {
  const { id: known, steps: _steps, photos: _photos, ...fields } = find;
  const when = household.when();
  const decided = {
    passed_at: how === "passed" ? when.at : null,
    later_at: how === "later" ? when.at : null,
    ...(purchase ? { purchase_id: purchase } : {}),
  };
  const begun = known ? {} : { ...when, ...placeOf(view) };
  const said = { ...fields, ...decided, ...begun };
  return { type: "piece", id, fields: known ? blanked(said) : withoutBlanks(said) };
}

/** @param {View} view where it was seen */
function placeOf({ running }) {
  return { outing_id: running?.outing.id ?? null, stop_id: running?.stop?.id ?? null };
}

/**
 * @param {any} household
 * @param {Find} find
 * @param {View} view
 * @param {Decision} decision
 * @returns {Change & {id: string}}
 */
function purchaseOf(household, find, view, { paid = 0, fetch = null }) {
  const where = fetch ? fetch.where || view.running?.stop?.name || "Where it was bought" : null;
  const fields = withoutBlanks({
    ...household.when(), total: paid, ask: find.ask, ...placeOf(view),
    fetch_by: fetch?.by?.toISOString() ?? null, fetch_where: where,
  });
  return { type: "purchase", id: household.newId(), fields };
}

/** @param {any} household @param {string} id @param {Find} find @returns {Change[]} */
function stepsOf(household, id, find) {
  /** @type {Live[]} */
  const there = household.where("piece_step", "piece_id", id);
  const added = find.steps.filter((slug) => !there.some((one) => one.step === slug));
  const dropped = there.filter((one) => !one.done_at && !find.steps.includes(one.step));
  return [
    ...added.map((step, i) => ({
      type: "piece_step",
      fields: { piece_id: id, step, units: find.count, sort: there.length + i },
    })),
    ...dropped.map((one) => ({ type: "piece_step", id: one.id, fields: { deleted: true } })),
  ];
}

/** @param {any} household @param {string} id @param {Find} find @returns {Change[]} */
function photosOf(household, id, find) {
  /** @type {Live[]} */
  const there = household.where("photo", "piece_id", id);
  return find.photos
    .filter(({ sha256 }) => !there.some((photo) => photo.sha256 === sha256))
    .map((photo, i) => ({
      type: "photo",
      fields: {
        at: household.when().at, piece_id: id, ...photo, purpose: "find", sort: there.length + i,
      },
    }));
}

/**
 * The answer, frozen: what was asked of the book, what it said, and which book.
 * @param {any} household
 * @param {string} id
 * @param {{find: Find, view: View}} seen
 * @param {Decision["how"]} how
 * @returns {Change[]}
 */
function predictionOf(household, id, { view }, how) {
  const { answer, input } = view;
  if (!answer.ok) return [];
  const book = String(household.book?.version ?? "");
  const fields = { ...household.when(), piece_id: id, for_what: how, book, inputs: input, answer };
  return [{ type: "prediction", fields }];
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
  await household.write([{ type, fields: withoutBlanks({ ...fields, slug }) }]);
  return slug;
}

/**
 * @typedef {object} Typed what the sheet of the outing asks for
 * @property {number | null} cash minor units
 * @property {number | null} hours as minutes
 * @property {string} name of the sale
 * @property {string} closes "HH:MM", this device's time
 */

/**
 * Start an outing, at its first sale if one was named.
 * @param {any} household
 * @param {Typed} typed
 * @returns {Promise<Said>}
 */
export async function setOut(household, typed) {
  const id = household.newId();
  const fields = { ...household.when(), cash: typed.cash, minutes_limit: typed.hours };
  const { undo } = await household.write([
    { type: "outing", id, fields: withoutBlanks(fields) },
    ...stopAt(household, id, typed),
  ]);
  return { text: `Off you go. ${SAVED}`, undo };
}

/**
 * At another sale of the outing under way.
 * @param {any} household
 * @param {Typed} typed
 * @returns {Promise<Said>}
 */
export async function goOn(household, typed) {
  const running = runningOuting(household);
  const changes = running ? stopAt(household, running.outing.id, typed) : [];
  const { undo } = await household.write(changes);
  return { text: typed.name ? `Now at ${typed.name}.` : "Going on.", undo };
}

/**
 * The outing is over.
 * @param {any} household
 * @param {{driven: number | null}} typed metres, null when not said
 * @returns {Promise<Said>}
 */
export async function endOuting(household, { driven }) {
  const running = runningOuting(household);
  const destination = placesOf(household, running);
  const miles = { distance_m: driven, destination, purpose: "buying" };
  const fields = { ended_at: household.when().at, ...(driven === null ? {} : miles) };
  const { undo } = await household.write(
    running ? [{ type: "outing", id: running.outing.id, fields }] : [],
  );
  return { text: `The outing is over. ${SAVED}`, undo };
}

/**
 * The sales of an outing by name, as a record of miles wants them.
 * @param {any} household
 * @param {import("../state/outing.js").Running | null} running
 */
function placesOf(household, running) {
  /** @type {Live[]} */
  const stops = running ? household.where("stop", "outing_id", running.outing.id) : [];
  const names = stops.map((stop) => stop.name).filter(Boolean);
  return names.join(", ").slice(0, 200) || "sales";
}

/** @param {any} household @param {string} outing @param {Typed} typed @returns {Change[]} */
function stopAt(household, outing, { name, closes }) {
  if (!name && !closes) return [];
  const closesAt = closes ? new Date(`${household.today()}T${closes}`).toISOString() : null;
  const fields = { ...household.when(), outing_id: outing, name, closes_at: closesAt };
  return [{ type: "stop", fields: withoutBlanks(fields) }];
}

/** @param {Record<string, any>} fields */
function withoutBlanks(fields) {
  return Object.fromEntries(
    Object.entries(fields).filter(([, value]) => value !== null && value !== ""),
  );
}

/** @param {Record<string, any>} fields */
function blanked(fields) {
  return Object.fromEntries(
    Object.entries(fields).map(([name, value]) => [name, value === "" ? null : value]),
  );
}
