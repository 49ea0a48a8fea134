import { html, nothing } from "../../vendor/lit/index.js";
import { FLAWS } from "../care/data.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { GRADE_WORDS } from "../ui/words.js";
import "./record-form.js";

/** What is written about a piece, to be changed. */
export class PieceEdit extends ScreenElement {
  static properties = { ...ScreenElement.properties, piece: { attribute: false } };

  constructor() {
    super();
    /** @type {any} */
    this.piece = null;
  }

  /** @returns {import("./record-form.js").FormField[]} */
  get fields() {
    const of = (/** @type {string} */ type) => this.household.all(type)
      .map((/** @type {any} */ r) => ({ value: r.slug ?? r.id, label: r.name }));
    const none = { value: "", label: "Not said" };
    return [
      { name: "title", label: "What it is called", as: "text" },
      { name: "kind", label: "Kind", as: "choice", options: [none, ...of("kind")] },
      { name: "count", label: "How many in the set", as: "int" },
      { name: "traits", label: "Looks", as: "many", options: of("trait") },
      { name: "flaws", label: "Flaws", as: "many", options: flawOptions() },
      { name: "spot_id", label: "Stands in", as: "choice", options: [none, ...of("spot")] },
      { name: "recalls_checked_on", label: "Recalls checked on", as: "date", hint: "look it up at the public recall list before you list it" },
      { name: "note", label: "Note", as: "long" },
    ];
  }

  render() {
    if (!this.piece) return nothing;
    const done = () => this.dispatchEvent(new CustomEvent("done"));
    return html`<p class="note">Grades run from ${GRADE_WORDS[0].toLowerCase()} to
      ${GRADE_WORDS[4].toLowerCase()}; they are set at the sale.</p>
      <record-form recordType="piece" .household=${this.household} .record=${this.piece}
        .fields=${this.fields} @closed=${done}
        @saved=${(/** @type {CustomEvent} */ event) => {
          showToast({ text: "Saved on this phone.", undo: event.detail.undo });
          done();
        }}></record-form>`;
  }
}

/** @returns {import("../ui/chips.js").ChipOption[]} */
function flawOptions() {
  return FLAWS.map(({ code, name }) => ({ value: code, label: name }));
}

customElements.define("piece-edit", PieceEdit);
