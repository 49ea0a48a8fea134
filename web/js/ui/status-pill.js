import { html } from "../../vendor/lit/index.js";
import { icon } from "./icons.js";
import { statusWords } from "./words.js";

/**
 * What is not yet at home, in words; leads to Household.
 * @param {import("./words.js").SyncState} sync
 * @param {Date} now
 */
export function statusPill(sync, now) {
  const { text, tone, icon: shape } = statusWords(sync, now);
  return html`<a class="status-pill" href="#/household">
    <span class="pill ${tone}">${icon(shape)}<span>${text}</span></span>
    <span class="unseen">. Open Household</span>
  </a>`;
}
