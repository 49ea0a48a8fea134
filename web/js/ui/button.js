import { html, nothing } from "../../vendor/lit/index.js";
import { maybeIcon } from "./icons.js";
import { once } from "./once.js";

/**
 * @typedef {object} ButtonLook
 * @property {string} label the visible words
 * @property {() => unknown} onClick a promise keeps further taps out until it is settled
 * @property {"plain" | "go" | "danger" | "danger strong" | "quiet"} [kind]
 * @property {import("./icons.js").IconName} [icon]
 * @property {boolean} [pressed] for buttons that stay down
 * @property {boolean} [disabled]
 * @property {string} [describedBy] id of a text that says why, or more
 */

/**
 * A button with words and perhaps an icon before them.
 * @param {ButtonLook} look
 */
export function button({ label, onClick, kind = "plain", icon, pressed, disabled, describedBy }) {
  return html`<button
    type="button"
    class="button ${kind}"
    aria-pressed=${pressed === undefined ? nothing : String(pressed)}
    aria-describedby=${describedBy ?? nothing}
    ?disabled=${disabled ?? false}
    @click=${once(() => onClick())}
  >${maybeIcon(icon)}<span>${label}</span></button>`;
}

/**
 * A round button with an icon only; the label is read and shown as a tooltip.
 * @param {{label: string, icon: import("./icons.js").IconName, onClick: () => void}} look
 */
export function iconButton({ label, icon, onClick }) {
  return html`<button
    type="button"
    class="button quiet round"
    aria-label=${label}
    title=${label}
    @click=${onClick}
  >${maybeIcon(icon)}</button>`;
}
