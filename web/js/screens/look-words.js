import { isType, fieldsOf } from "../records/groups.js";
import { dayWords, minutesWords, moneyWords } from "../ui/words.js";
import { pieceName } from "./piece-words.js";

/**
 * One way to settle a look: what the button says and what it writes besides the settling.
 * @typedef {{label: string, writes: {type: string, id: string, fields: Record<string, any>}[]}} Choice
 */

/**
 * What can be done about a look, the likelier choice first. Keeping what stands never writes
 * anything else.
 * @param {any} look
 * @param {any} [household] for what is only known from other records
 * @returns {{first: Choice, second: Choice | null, third?: Choice | null}}
 */
export function choicesOf(look, household = null) {
  const { reason, about_type: type, about_id: id, other } = look;
  const values = withoutStamp(other);
  switch (reason) {
    case "both_edited":
      return stopChoices(look) ?? {
        first: { label: "Keep what stands", writes: [] },
        second: other?.too_large
          ? null : { label: "Take the other", writes: [{ type, id, fields: values }] },
      };
    case "changed_after_deleted":
      return {
        first: { label: "Leave it deleted", writes: [] },
        second: { label: "Bring it back", writes: [{ type, id, fields: { deleted: false } }] },
      };
    case "two_sales":
      return {
        first: {
          label: "The first sale counts",
          writes: [{ type: "sale", id: other.sale_id, fields: { deleted: true } }],
        },
        second: {
          label: "The second sale counts",
          writes: [{ type: "sale", id: look.kept.sale_id, fields: { deleted: true } }],
        },
        third: apart(look, household),
      };
    case "two_bindings":
      return {
        first: {
          label: "It is on the first piece",
          writes: [{ type: "tag", id: other.tag_id, fields: { deleted: true } }],
        },
        second: {
          label: "It is on the second piece",
          writes: [{ type: "tag", id: look.kept.tag_id, fields: { deleted: true } }],
        },
      };
    default:
      return { first: { label: "I have seen to it", writes: [] }, second: null };
  }
}

/**
 * A timer that was stopped on two phones ran on after the first stop only because nobody had
 * heard of it, so the earlier stop is offered first, whichever stands.
 * @param {any} look
 * @returns {{first: Choice, second: Choice} | null} null for any other look
 */
function stopChoices({ about_type: type, about_group: group, about_id: id, kept, other }) {
  if (type !== "stint" || group !== "stop" || !kept?.stopped_at || !other?.stopped_at) return null;
  const ahead = Date.parse(kept.stopped_at) - Date.parse(other.stopped_at);
  if (!ahead) return null;
  const keeping = (/** @type {string} */ which) => ({
    label: `Keep the ${which} stop, ${minutesWords(kept.minutes)}`, writes: [],
  });
  const taking = (/** @type {string} */ which) => ({
    label: `Take the ${which} stop, ${minutesWords(other.minutes)}`,
    writes: [{ type, id, fields: withoutStamp(other) }],
  });
  return ahead > 0
    ? { first: taking("earlier"), second: keeping("later") }
    : { first: keeping("earlier"), second: taking("later") };
}

/**
 * Two sales under two records that were said to be one piece: perhaps they are two pieces.
 * @param {any} look
 * @param {any} household
 * @returns {Choice | null} null where both sales are of one record
 */
function apart({ kept, other }, household) {
  const ids = [kept, other].map((one) => household?.get("sale", one.sale_id)?.piece_id);
  if (!ids[0] || !ids[1] || ids[0] === ids[1]) return null;
  const said = household.all("same_as").filter((/** @type {any} */ pair) =>
    ids.includes(pair.duplicate_id) || ids.includes(pair.survivor_id));
  if (!said.length) return null;
  return {
    label: "They are two pieces, both sold",
    writes: said.map((/** @type {any} */ pair) =>
      ({ type: "same_as", id: pair.id, fields: { deleted: true } })),
  };
}

/** @type {Record<string, string>} */
const REASONS = {
  both_edited: "changed on two phones", two_sales: "sold twice",
  changed_after_deleted: "changed after it was deleted", rule: "does not fit together",
  time_corrected: "the phone's clock was wrong", two_bindings: "one tag on two pieces",
};

/**
 * "Writing desk: title changed on two phones".
 * @param {any} household
 * @param {any} look
 */
export function headingOf(household, look) {
  const what = look.about_group && look.reason === "both_edited"
    ? `${look.about_group.replaceAll("_", " ")} ` : "";
  return `${aboutWords(household, look)}: ${what}${REASONS[look.reason] ?? look.reason}`;
}

/** @param {any} household @param {any} look */
function aboutWords(household, { about_type: type, about_id: id }) {
  const record = household.get(type, id);
  const pieceId = record?.piece_id ?? record?.piece_ids?.[0];
  const piece = type === "piece" ? record : pieceId && household.get("piece", pieceId);
  if (piece) return pieceName(household, piece);
  return record?.name ?? `A ${record ? "" : "deleted "}${type.replaceAll("_", " ")}`;
}

/**
 * A version in words: its values, or the sale or piece it names.
 * @param {any} household
 * @param {Record<string, any>} version
 * @param {string} type of the record that it is a version of
 */
export function valueWords(household, version, type) {
  if (version.too_large) return "too long to show here; the piece's history holds it";
  if (version.sale_id) return saleWords(household, household.get("sale", version.sale_id));
  if (version.tag_id) return pieceName(household, household.get("piece", version.piece_id) ?? {});
  if (version.stopped_at) return stopWords(version);
  const entries = Object.entries(withoutStamp(version)).filter(([, value]) => value !== null);
  return entries.length ? entries.map(([name, value]) => `${name.replaceAll("_", " ")}: ${
    oneValue(household, type, name, value)}`).join(", ") : "nothing";
}

/** @param {Record<string, any>} stop */
function stopWords({ stopped_at: at, minutes }) {
  const clock = new Date(at).toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });
  return `${minutesWords(minutes)}, stopped at ${clock}`;
}

/** @param {any} household @param {any} sale */
function saleWords(household, sale) {
  if (!sale) return "a sale that is gone";
  const piece = household.get("piece", sale.piece_id);
  const joined = piece && household.all("same_as").some((/** @type {any} */ pair) =>
    [pair.duplicate_id, pair.survivor_id].includes(piece.id));
  const record = joined ? `, written under “${pieceName(household, piece)}”` : "";
  const buyer = sale.buyer ? ` to ${sale.buyer}` : "";
  return `${moneyWords(sale.price)}${buyer}, ${dayWords(sale.on, household.today())}${record}`;
}

/**
 * @param {any} household
 * @param {string} type
 * @param {string} name of the field
 * @param {any} value
 */
function oneValue(household, type, name, value) {
  const field = isType(type) ? fieldsOf(type).get(name) : undefined;
  switch (field?.type) {
    case "money": return moneyWords(value);
    case "bool": return value ? "yes" : "no";
    case "instant": return dayWords(household.dayOf(new Date(value)), household.today());
    case "date": return dayWords(value, household.today());
    case "id": return nameOf(household, field.ref ?? "", value);
    default: return Array.isArray(value) ? value.join(", ") : String(value);
  }
}

/** @param {any} household @param {string} type @param {string} id */
function nameOf(household, type, id) {
  const record = type ? household.get(type, id) : null;
  if (!record) return "something else";
  return type === "piece" ? pieceName(household, record) : record.name ?? record.on ?? "one of them";
}

/** @param {Record<string, any>} version */
function withoutStamp(version = {}) {
  return Object.fromEntries(Object.entries(version).filter(([name]) => name !== "stamp"));
}
