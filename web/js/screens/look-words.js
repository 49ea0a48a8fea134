import { isType, fieldsOf } from "../records/groups.js";
import { dayWords, moneyWords } from "../ui/words.js";
import { pieceName } from "./piece-words.js";

/**
 * One way to settle a look: what the button says and what it writes besides the settling.
 * @typedef {{label: string, writes: {type: string, id: string, fields: Record<string, any>}[]}} Choice
 */

/**
 * What can be done about a look. Keeping what stands never writes anything else.
 * @param {any} look
 * @returns {{keep: Choice, take: Choice | null}}
 */
export function choicesOf(look) {
  const { reason, about_type: type, about_id: id, other } = look;
  const values = withoutStamp(other);
  switch (reason) {
    case "both_edited":
      return {
        keep: { label: "Keep what stands", writes: [] },
        take: other?.too_large
          ? null : { label: "Take the other", writes: [{ type, id, fields: values }] },
      };
    case "changed_after_deleted":
      return {
        keep: { label: "Leave it deleted", writes: [] },
        take: { label: "Bring it back", writes: [{ type, id, fields: { deleted: false } }] },
      };
    case "two_sales":
      return {
        keep: {
          label: "The first sale counts",
          writes: [{ type: "sale", id: other.sale_id, fields: { deleted: true } }],
        },
        take: {
          label: "The second sale counts",
          writes: [{ type: "sale", id: look.kept.sale_id, fields: { deleted: true } }],
        },
      };
    case "two_bindings":
      return {
        keep: {
          label: "It is on the first piece",
          writes: [{ type: "tag", id: other.tag_id, fields: { deleted: true } }],
        },
        take: {
          label: "It is on the second piece",
          writes: [{ type: "tag", id: look.kept.tag_id, fields: { deleted: true } }],
        },
      };
    default:
      return { keep: { label: "I have seen to it", writes: [] }, take: null };
  }
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
  const piece = type === "piece" ? record : record?.piece_id && household.get("piece", record.piece_id);
  if (piece) return pieceName(household, piece);
  return record?.name ?? `A deleted ${type.replaceAll("_", " ")}`;
}

/**
 * A version in words: its values, or the sale or piece it names.
 * @param {any} household
 * @param {Record<string, any>} version
 * @param {string} type of the record that it is a version of
 */
export function valueWords(household, version, type) {
  if (version.too_large) return "too long to show here; the piece's history holds it";
  if (version.sale_id) return saleWords(household.get("sale", version.sale_id));
  if (version.tag_id) return pieceName(household, household.get("piece", version.piece_id) ?? {});
  const entries = Object.entries(withoutStamp(version)).filter(([, value]) => value !== null);
  return entries.length ? entries.map(([name, value]) => `${name.replaceAll("_", " ")}: ${
    oneValue(household, type, name, value)}`).join(", ") : "nothing";
}

/** @param {any} sale */
function saleWords(sale) {
  return sale ? `${moneyWords(sale.price)}${sale.buyer ? ` to ${sale.buyer}` : ""}, ${sale.on}` : "a sale";
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
