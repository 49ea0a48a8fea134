import { html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { dayWords } from "../ui/words.js";
import { pieceName } from "./piece-words.js";
import "./piece-photo.js";

/** @typedef {import("../store/types.js").PhotoEntry} PhotoEntry */

/**
 * Pictures that home would not take, with its reason, and pictures whose bytes are lost; nothing
 * is sent again unless a person says so.
 */
export class HouseholdPictures extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, pictures: { state: true }, sure: { state: true },
  };

  constructor() {
    super();
    /** @type {PhotoEntry[]} refused by home, or lost */
    this.pictures = [];
    /** the picture that is thrown away at a second tap */
    this.sure = "";
  }

  connectedCallback() {
    super.connectedCallback();
    this.load();
  }

  /** @param {Set<string>} types */
  recordsChanged(types) {
    if (types.has("sync") || types.has("photo")) this.load();
    super.recordsChanged(types);
  }

  async load() {
    this.pictures = (await this.household?.pictures.troubled()) ?? [];
  }

  render() {
    if (!this.household || !this.pictures.length) return nothing;
    return html`<section class="stack tight">
      <h2>Photos that are not at home</h2>
      <ul class="rows" role="list">${this.pictures.map((entry) => html`<li class="panel stack tight">
        ${entry.state === "lost" ? this.lost(entry) : this.refused(entry)}</li>`)}</ul>
    </section>`;
  }

  /** @param {PhotoEntry} entry */
  lost(entry) {
    return html`<p><strong>Lost</strong>, ${this.of(entry)}.</p>
      <p class="note">The picture was gone from this phone before it came home. Take it again if
        you can.</p>
      <div class="cluster">
        ${button({ label: "Take it off the list", onClick: () => this.forget(entry) })}</div>`;
  }

  /** @param {PhotoEntry} entry */
  refused(entry) {
    const sure = this.sure === entry.sha256;
    return html`<piece-photo .household=${this.household} .sha256=${entry.sha256}
        .alt=${"The photo that was not accepted"}></piece-photo>
      <p><strong>Not accepted at home</strong>, ${this.of(entry)}.</p>
      <p class="note">Home says: ${entry.trouble ?? "no reason"}. It stays on this phone.</p>
      <div class="cluster">
        ${button({ label: "Try again", icon: "send", onClick: () => this.again(entry) })}
        ${button({
          label: sure ? "Throw it away for good" : "Throw the picture away",
          kind: sure ? "danger" : "quiet",
          onClick: () => (sure ? this.forget(entry) : (this.sure = entry.sha256)),
        })}
      </div>`;
  }

  /** @param {PhotoEntry} entry */
  of({ sha256, at }) {
    const { household } = this;
    const [photo] = this.records(sha256);
    const piece = photo && household.get("piece", photo.piece_id);
    const day = dayWords(household.dayOf(at), household.today());
    return html`taken ${day}${piece
      ? html`, of <a href="#/pieces/${piece.id}">${pieceName(household, piece)}</a>` : nothing}`;
  }

  /** @param {string} sha256 @returns {any[]} the photos that show it */
  records(sha256) {
    return this.household.all("photo").filter((/** @type {any} */ one) => one.sha256 === sha256);
  }

  /** @param {PhotoEntry} entry */
  async again({ sha256 }) {
    const { household } = this;
    await household.pictures.mark(sha256, { state: "queued", trouble: undefined });
    await household.engine.recount();
    await household.syncNow();
    await this.load();
  }

  /** @param {PhotoEntry} entry */
  async forget({ sha256 }) {
    const { household } = this;
    await household.write(this.records(sha256).map(({ id }) =>
      ({ type: "photo", id, fields: { deleted: true } })));
    await household.pictures.forget(sha256);
    await household.engine.recount();
    await this.load();
    showToast({ text: "The photo is off the list." });
  }
}

customElements.define("household-pictures", HouseholdPictures);
