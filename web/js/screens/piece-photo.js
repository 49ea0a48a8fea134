import { LitElement, html } from "../../vendor/lit/index.js";
import { icon } from "../ui/icons.js";

/** A picture of a piece by its hash, from the phone or from home; a plain frame until then. */
export class PiecePhoto extends LitElement {
  static properties = {
    household: { attribute: false },
    sha256: { type: String },
    alt: { type: String },
    large: { type: Boolean },
    url: { state: true },
  };

  constructor() {
    super();
    /** @type {any} */
    this.household = null;
    this.sha256 = "";
    this.alt = "";
    this.large = false;
    /** @type {string | null} */
    this.url = null;
    this.asked = 0;
  }

  createRenderRoot() {
    return this;
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (changed.has("sha256") || changed.has("household")) this.load();
  }

  /** Look the picture up; an answer for another picture than the present one is dropped. */
  async load() {
    const asked = ++this.asked;
    this.url = null;
    if (!this.sha256 || !this.household) return;
    const url = await this.household.photoUrl(this.sha256, { thumb: !this.large });
    if (asked === this.asked) this.url = url;
  }

  render() {
    const frame = this.large ? "photo-large" : "thumb";
    return this.url
      ? html`<img class=${frame} src=${this.url} alt=${this.alt} />`
      : html`<span class=${frame}>${icon("photo", this.sha256 ? this.alt : undefined)}</span>`;
  }
}

customElements.define("piece-photo", PiecePhoto);
