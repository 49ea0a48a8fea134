import { html, nothing } from "../../vendor/lit/index.js";
import { DEFER } from "../care/data.js";
import { notice } from "../ui/card.js";
import { icon } from "../ui/icons.js";
import { ageWords, moneyWords } from "../ui/words.js";
import { nameOf } from "./at-the-sale-view.js";
import "./left-running.js";

/** @typedef {import("./at-the-sale-view.js").View} View */
/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {import("../care/cautions.js").Caution} Caution */

/**
 * Who waits for such a piece, and what to know before paying. Deal-breakers are on the card.
 * @param {View} view
 * @param {any} household
 */
export function saleNotices({ waiting, cautions, traits, setUp }, household) {
  const now = household.now();
  const rest = cautions.filter(({ level }) => level !== "stop");
  return html`
    <left-running .household=${household}></left-running>
    ${setUp ? nothing : notice({
      level: "note",
      title: "The usual numbers are used, not yours",
      text: html`<a class="button" href="#/first-run">Set yours</a>`,
    })}
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

/** One line that opens: the chips under it hardly move. @param {Caution[]} cautions */
function cautionList(cautions) {
  const grave = cautions.some(({ level }) => level === "warn");
  const [first, ...more] = cautions;
  return html`<details class="notice-line ${grave ? "warn" : "note"}">
    <summary>${icon(grave ? "warn" : "note")}<span>${first.title}${more.length
      ? html` <strong>and ${more.length} more</strong>` : nothing}</span></summary>
    <div class="stack tight">
      ${cautions.map(({ title, text, source }) => html`<p><strong>${title}.</strong> ${text}
        <span class="notice-source">${source}</span></p>`)}
      <p class="note">${DEFER}</p>
    </div>
  </details>`;
}
