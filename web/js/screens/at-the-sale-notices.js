import { html, nothing } from "../../vendor/lit/index.js";
import { DEFER } from "../care/data.js";
import { notice } from "../ui/card.js";
import { ageWords, moneyWords } from "../ui/words.js";
import { nameOf } from "./at-the-sale-view.js";

/** @typedef {import("./at-the-sale-view.js").View} View */
/** @typedef {import("./at-the-sale-find.js").Live} Live */

/**
 * Who waits for such a piece, and what to know before paying. Deal-breakers are on the card.
 * @param {View} view
 * @param {Date} now
 */
export function saleNotices({ waiting, cautions, traits }, now) {
  const rest = cautions.filter(({ level }) => level !== "stop");
  return html`
    ${waiting.map((want) => notice({
      level: "people",
      title: want.name ? `${want.name} is waiting for one` : "Somebody is waiting for one",
      text: wantWords(want, traits, now),
    }))}
    ${rest.length ? cautionList(rest) : nothing}`;
}

/** @param {Live} want @param {Live[]} traits @param {Date} now */
function wantWords(want, traits, now) {
  const looks = (want.traits ?? []).map((/** @type {string} */ slug) => nameOf(traits, slug));
  return [
    looks.join(", "),
    want.limit ? `up to ${moneyWords(want.limit)}` : "",
    `asked ${ageWords(want.at, now)}`,
    want.note ?? "",
  ].filter(Boolean).join(" · ");
}

/** @param {import("../care/cautions.js").Caution[]} cautions */
function cautionList(cautions) {
  const grave = cautions.some(({ level }) => level === "warn");
  return notice({
    level: grave ? "warn" : "note",
    title: cautions.map(({ title }) => title).join(" · "),
    text: html`<details class="more"><summary>Read before you pay</summary>
      <div class="stack tight">
        ${cautions.map(({ title, text, source }) => html`<p><strong>${title}.</strong> ${text}
          <span class="notice-source">${source}</span></p>`)}
        <p class="note">${DEFER}</p>
      </div></details>`,
  });
}
