import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { iconButton } from "./button.js";
import { icon } from "./icons.js";

/**
 * @typedef {object} Saying
 * @property {string} text what happened, in plain words
 * @property {() => unknown} [undo] takes it back
 * @property {string} [undoLabel] "Undo" unless told
 */

/**
 * Say what has just happened. It stays until it is dismissed or the next thing happens.
 * @param {Saying} saying
 */
export function showToast(saying) {
  document.dispatchEvent(new CustomEvent("crest-toast", { detail: saying }));
}

/**
 * Bring the message bar to where it can be seen and tapped: into the uppermost sheet that is
 * open, since a modal covers and disables whatever lies outside it, else to its place in the
 * shell. `from` is an element that goes away and may hold it.
 * @param {ParentNode} [from]
 */
export function placeToast(from = document) {
  const bar = from.querySelector("crest-toast") ?? document.querySelector("crest-toast");
  const sheets = [...document.querySelectorAll("crest-sheet > dialog[open]")];
  const place = sheets.at(-1) ?? document.querySelector(".shell-toast");
  if (bar && place && bar.parentElement !== place) place.append(bar);
}

/**
 * Where the shell shows what `showToast` was given, and what went wrong where nobody said it: a
 * full phone, a picture that cannot be read.
 */
export class CrestToast extends LitElement {
  static properties = { saying: { state: true } };

  constructor() {
    super();
    /** @type {Saying | null} */
    this.saying = null;
    this.take = (/** @type {Event} */ event) => {
      this.saying = /** @type {CustomEvent} */ (event).detail;
    };
    this.tell = (/** @type {PromiseRejectionEvent} */ event) => {
      if (!event.reason?.code || !event.reason.message) return;
      event.preventDefault();
      this.saying = { text: `That did not work: ${event.reason.message}` };
    };
  }

  createRenderRoot() {
    return this;
  }

  connectedCallback() {
    super.connectedCallback();
    document.addEventListener("crest-toast", this.take);
    window.addEventListener("unhandledrejection", this.tell);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    document.removeEventListener("crest-toast", this.take);
    window.removeEventListener("unhandledrejection", this.tell);
  }

  render() {
    return html`<div role="status">${this.saying ? this.#bar(this.saying) : nothing}</div>`;
  }

  /** @param {Saying} saying */
  #bar({ text, undo, undoLabel }) {
    return html`<div class="toast">
      <span class="toast-text">${text}</span>
      ${undo
        ? html`<button type="button" class="button" @click=${this.#undo}>
            ${icon("undo")}<span>${undoLabel ?? "Undo"}</span></button>`
        : nothing}
      ${iconButton({ label: "Dismiss", icon: "close", onClick: () => (this.saying = null) })}
    </div>`;
  }

  async #undo() {
    const saying = this.saying;
    this.saying = null;
    await saying?.undo?.();
  }
}

customElements.define("crest-toast", CrestToast);
