import { html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { badge } from "../ui/card.js";
import { icon } from "../ui/icons.js";
import { moneyWords } from "../ui/words.js";
import { brief, said } from "./at-the-sale-words.js";

/** @typedef {import("../pricing/pad.js").PadAnswer} PadAnswer */

/**
 * @typedef {object} CardView
 * @property {import("./at-the-sale-words.js").Face} face
 * @property {PadAnswer | import("../pricing/pad.js").PadRefusal} answer
 * @property {{title: string, text: string, source: string}[]} stops deal-breakers
 * @property {number | null} cash what is in hand, minor units; null when not known
 * @property {boolean} covered the number is hidden from who stands beside
 * @property {boolean} held the cover is being held up
 * @property {boolean} booked whether the household's numbers are on this phone
 * @property {() => void} onWorkings
 * @property {() => void} onCover
 * @property {(held: boolean) => void} onHold
 */

/**
 * The card with the answer. Sizes are the style sheet's affair: short, turned and scrolled screens
 * show the first line only.
 * @param {CardView} view
 */
export function saleCard(view) {
  const { face, covered, held } = view;
  const hidden = covered && !held;
  return html`<section class="tag-card sale-card ${hidden ? "" : face.tone}" aria-label="Answer">
    <div class="sale-line">
      ${covered ? holder(view) : figure(view)}
      ${hidden ? nothing : html`<p class="sale-short">${short(view)}</p>`}
    </div>
    <div class="sale-tools">${coverButton(view)}</div>
    ${hidden ? nothing : html`<div class="sale-rest">${rest(view)}</div>`}
  </section>`;
}

/** @param {CardView} view */
function figure({ face, answer }) {
  const guess = answer.ok && answer.evidence.level === "guess" && face.state !== "stop"
    && answer.evidence.source !== "typed";
  return html`<p class="sale-figure is-${face.state}">
    <span class="card-label">${shape(face)}${face.label}
      ${guess ? badge("guess", "brass") : nothing}</span>
    ${face.number ? html`<strong class="card-number">${face.number}</strong>` : nothing}
  </p>`;
}

/** @param {import("./at-the-sale-words.js").Face} face */
function shape({ state }) {
  if (state === "stop") return icon("stop");
  return state === "over" ? icon("over") : nothing;
}

/** @param {CardView} view */
function holder(view) {
  const { held, onHold } = view;
  const key = (/** @type {boolean} */ down) => (/** @type {KeyboardEvent} */ event) => {
    if (event.key === " " || event.key === "Enter") onHold(down);
  };
  return html`<button type="button" class="button cover-hold" @pointerdown=${() => onHold(true)}
    @pointerup=${() => onHold(false)} @pointercancel=${() => onHold(false)}
    @pointerleave=${() => onHold(false)} @blur=${() => onHold(false)}
    @contextmenu=${(/** @type {Event} */ event) => event.preventDefault()}
    @keydown=${key(true)} @keyup=${key(false)}>
    ${held ? figure(view) : html`${icon("cover")}<span>Hold to see</span>`}
  </button>`;
}

/** @param {CardView} view */
function coverButton({ covered, onCover }) {
  const label = covered ? "Show the number" : "Cover the number";
  return html`<button type="button" class="button quiet round" aria-label=${label} title=${label}
    @click=${onCover}>${icon(covered ? "eye" : "cover")}</button>`;
}

/** The one line that is left of the rest when there is no room. @param {CardView} view */
function short({ face, answer, stops }) {
  if (face.state === "stop") return stops[0].title;
  if (!answer.ok) return "Choose what it is.";
  return brief(face, answer);
}

/** @param {CardView} view */
function rest(view) {
  const { face, answer, stops } = view;
  if (face.state === "stop") {
    return stops.map((stop) => html`<p><strong>${stop.title}.</strong> ${stop.text}</p>
      <p class="note">${stop.source}</p>`);
  }
  return answer.ok ? reckoning(view, answer) : missing(view);
}

/** @param {CardView} view */
function missing({ booked, answer }) {
  if (!booked) {
    return html`<p class="sale-missing">Your numbers come to this phone with the first sync. A find can be saved
      without them.</p>`;
  }
  const wrong = answer.ok ? [] : answer.details.filter((detail) => detail.path !== "kind");
  if (wrong.length) return wrong.map((detail) => html`<p class="sale-missing">${cure(detail)}</p>`);
  return html`<p class="sale-missing">Choose what it is, and the number stands here.</p>`;
}

/** @param {{path: string, message: string}} detail */
function cure({ path, message }) {
  return path === "typed.likely"
    ? "No price is known for this kind yet. Type what it likely brings, under More."
    : message;
}

/** @param {CardView} view @param {PadAnswer} answer */
function reckoning({ face, cash, onWorkings }, answer) {
  const words = said(answer);
  return html`
    ${face.state === "over"
      ? html`<p>Most to pay <strong>${moneyWords(answer.most)}</strong>.</p>` : nothing}
    ${words.nothing ? html`<p>${words.nothing}</p>` : nothing}
    <p>${words.brings}</p>
    ${cash !== null && cash < answer.most
      ? html`<p><strong>You have ${moneyWords(Math.max(0, cash))}.</strong></p>` : nothing}
    <hr class="card-fold" />
    ${words.atAsk ? html`<p>${words.atAsk}</p>` : nothing}
    ${words.chance ? html`<p class="note">${words.chance}</p>` : nothing}
    <div class="sale-evidence">
      <p class="note">${words.evidence}</p>
      ${button({ label: "Workings", kind: "quiet", onClick: onWorkings })}
    </div>`;
}
