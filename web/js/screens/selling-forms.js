import { toText } from "../basis/clock.js";
import { agreedOn } from "../state/asking.js";
import { moneyWords } from "../ui/words.js";

/** @typedef {import("./record-form.js").FormField} FormField */

/**
 * A form over a fact of selling: what its button says, its heading, its fields, what is known.
 * @typedef {object} SellingForm
 * @property {string} button
 * @property {string} title
 * @property {string} done what is said when it is saved
 * @property {FormField[]} fields
 * @property {Record<string, any>} preset
 * @property {(fields: Record<string, any>) => Record<string, any>} [complete]
 */

const DAY = 24 * 3600 * 1000;

/**
 * The form for a type of fact, for a piece and perhaps its sale.
 * @param {any} household
 * @param {string} type
 * @param {{piece?: any, sale?: any}} [about]
 * @returns {SellingForm}
 */
export function formsOf(household, type, { piece, sale } = {}) {
  const when = household.when();
  const preset = { ...when, piece_id: piece?.id };
  const asking = piece ? household.where("inquiry", "piece_id", piece.id) : [];
  const agreed = piece ? agreedOn(household, piece.id) : null;
  switch (type) {
    case "asking_price": return {
      button: "Asking price", title: "What to ask", done: "", fields: [], preset: {},
    };
    case "inquiry": return {
      button: "Somebody asked", title: "Somebody asked", done: "Written down.",
      fields: [
        { name: "name", label: "First name", as: "text" },
        { name: "contact", label: "How to reach them", as: "text" },
        { name: "note", label: "What they said", as: "long" },
      ],
      preset,
    };
    case "offer": return {
      button: "An offer", title: "Somebody offers", done: "The offer is written down.",
      fields: [
        { name: "amount", label: "They offer", as: "money", check: someMoney },
        { name: "note", label: "Who, and what they said", as: "long" },
        ...(asking.length ? [whoAsked(asking)] : []),
      ],
      preset,
    };
    case "hold": return {
      button: "Promise it", title: "Promised to a buyer", done: "The piece is on hold.",
      fields: [
        { name: "name", label: "To whom", as: "text" },
        {
          name: "until_on", label: "Until the evening of", as: "date",
          check: (day) => (day >= when.on ? undefined : "A day from today on"),
        },
        {
          name: "terms", label: "Terms", as: "long",
          hint: "is a deposit given back? Say it in words; laws differ.",
        },
      ],
      preset: {
        ...preset, ...(agreed === null ? {} : { terms: `Agreed on ${moneyWords(agreed)}.` }),
        until_on: household.dayOf(household.now().getTime() + 2 * DAY),
      },
      complete: ({ until_on: day, ...fields }) => ({ ...fields, until_at: eveningOf(day) }),
    };
    case "payment": return {
      button: "Deposit", title: "Money from a buyer", done: "The money is in the books.",
      fields: [
        { name: "amount", label: "Amount", as: "money", check: someMoney },
        { name: "note", label: "From whom, and on what terms", as: "long" },
      ],
      preset,
    };
    default: return {
      button: "It came back", title: "It came back", done: "The return is in the books.",
      fields: [
        { name: "refund", label: "Money given back", as: "money" },
        { name: "fee_back", label: "Fee you get back", as: "money" },
        { name: "back_in_stock", label: "The piece is here again", as: "yes" },
        { name: "note", label: "Why", as: "long" },
      ],
      preset: { ...when, sale_id: sale?.id, refund: (sale?.price ?? 0) + (sale?.delivery_charged ?? 0), fee_back: 0, back_in_stock: true },
    };
  }
}

/** @param {number | null} minor */
function someMoney(minor) {
  return minor === 0 ? "More than nothing: an amount such as 45 or 45.50" : undefined;
}

/** @param {any[]} inquiries @returns {FormField} */
function whoAsked(inquiries) {
  const options = inquiries.map(({ id, name, note }) => ({
    value: id, label: name || note || "Somebody who asked",
  }));
  return {
    name: "inquiry_id", label: "Had asked before", as: "choice",
    options: [{ value: "", label: "Nobody of those" }, ...options],
  };
}

/** @param {string} day as the phone's own evening, 8 o'clock */
function eveningOf(day) {
  const evening = new Date(`${day}T20:00:00`);
  return Number.isNaN(evening.getTime()) ? day : toText(evening);
}
