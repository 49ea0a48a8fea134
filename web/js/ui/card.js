import { html, nothing } from "../../vendor/lit/index.js";
import { icon } from "./icons.js";

/**
 * The tag card: the one thing a screen is about.
 * @param {object} card
 * @param {unknown} card.body
 * @param {"" | "note" | "danger"} [card.tone]
 * @param {string} [card.label] the accessible name of the region
 */
export function tagCard({ body, tone = "", label }) {
  return html`<section class="tag-card ${tone}" aria-label=${label ?? nothing}>${body}</section>`;
}

const NOTICE_ICONS = /** @type {const} */ ({
  stop: "stop", warn: "warn", note: "note", good: "check", people: "people",
});

/**
 * @typedef {object} Notice
 * @property {"stop" | "warn" | "note" | "good" | "people"} level
 * @property {string} title
 * @property {unknown} [text]
 * @property {string} [source] where it comes from
 */

/**
 * Something to know before going on: a shape, a title, the words, the source.
 * @param {Notice} look
 */
export function notice({ level, title, text, source }) {
  return html`<div class="notice ${level === "people" ? "warn" : level}">
    ${icon(NOTICE_ICONS[level])}
    <p class="notice-title">${title}</p>
    ${text ? html`<div>${text}</div>` : nothing}
    ${source ? html`<p class="notice-source">${source}</p>` : nothing}
  </div>`;
}

/**
 * A short word with an edge: a stage, "guess", a count.
 * @param {string} text
 * @param {"" | "brass" | "pine" | "oxblood"} [tone]
 */
export function badge(text, tone = "") {
  return html`<span class="badge ${tone}">${text}</span>`;
}

/**
 * Nothing here yet, and what the first step is.
 * @param {object} look
 * @param {import("./icons.js").IconName} look.icon
 * @param {string} look.title
 * @param {string} look.text
 * @param {unknown} [look.action] a button
 */
export function emptyState({ icon: name, title, text, action }) {
  return html`<div class="empty">
    ${icon(name)}
    <h2>${title}</h2>
    <p>${text}</p>
    ${action ?? nothing}
  </div>`;
}
