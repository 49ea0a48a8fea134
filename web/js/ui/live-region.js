import { LitElement, html } from "../../vendor/lit/index.js";

/** Longest pause between two changes that counts as still changing, in milliseconds. */
const PAUSE = 700;

/** Reads `text` out, politely, once it has stood still for a moment. */
export class CrestLiveRegion extends LitElement {
  static properties = { text: { type: String }, spoken: { state: true } };

  constructor() {
    super();
    this.text = "";
    this.spoken = "";
    /** @type {number | undefined} */
    this.timer = undefined;
  }

  createRenderRoot() {
    return this;
  }

  /** @param {Map<string, unknown>} changed */
  updated(changed) {
    if (!changed.has("text")) return;
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(() => (this.spoken = this.text), PAUSE);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    window.clearTimeout(this.timer);
  }

  render() {
    return html`<div class="unseen" role="status">${this.spoken}</div>`;
  }
}

customElements.define("crest-live-region", CrestLiveRegion);
