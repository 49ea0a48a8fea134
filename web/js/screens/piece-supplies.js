import { html, nothing } from "../../vendor/lit/index.js";
import { CrestrailError } from "../basis/errors.js";
import { costOfUse, suppliesOf } from "../state/supplies.js";
import { button } from "../ui/button.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { countWords, dayWords, moneyWords } from "../ui/words.js";
import "../ui/sheet.js";
import "./record-form.js";

/** What was used up on a piece, with its cost; the packs themselves are in the books. */
export class PieceSupplies extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, piece: { type: String }, open: { state: true },
  };

  constructor() {
    super();
    /** the piece's id */
    this.piece = "";
    /** @type {{record: any} | null} what is in the sheet; `{record: null}` writes a new use */
    this.open = null;
  }

  render() {
    if (!this.household || !this.piece) return nothing;
    const { uses, cost, unknown } = suppliesOf(this.household, this.piece);
    return html`
      ${uses.length ? html`<details class="more">
        <summary>Supplies used: ${moneyWords(cost)}${unknown
          ? `, ${countWords(unknown, "cost", "costs")} not known` : ""}</summary>
        <ul class="rows" role="list">${uses.map((/** @type {any} */ use) => html`<li>
          <button type="button" class="row row-button" @click=${() => (this.open = { record: use })}>
            <span class="row-text"><span class="row-title">${this.words(use)}</span>
              <span class="note">${dayWords(use.on, this.household.today())}</span></span>
            <span class="row-end figure">${moneyWords(use.cost)}</span>
          </button></li>`)}</ul>
        ${nowhere()}</details>` : nothing}
      <div class="cluster">${button({
        label: "Supplies used", icon: "plus", onClick: () => (this.open = { record: null }),
      })}</div>
      ${this.sheet()}`;
  }

  /** @param {any} use */
  words(use) {
    const supply = this.household.get("supply", use.supply_id);
    const much = Number.isFinite(use.milliunits)
      ? `, ${use.milliunits / 1000} ${supply?.unit ?? ""}`.trimEnd() : "";
    return `${supply?.name ?? "A supply that is off the list"}${much}`;
  }

  /** @returns {import("./record-form.js").FormField[]} */
  get fields() {
    const options = this.household.all("supply").map((/** @type {any} */ s) => ({
      value: s.id, label: s.unit ? `${s.name} (${s.unit})` : s.name,
    }));
    return [
      { name: "supply_id", label: "What", as: "choice",
        options: [{ value: "", label: "Choose …" }, ...options] },
      { name: "milliunits", label: "How much", as: "thousandths",
        hint: "in its measure, such as 60 or 0.5" },
    ];
  }

  sheet() {
    const close = () => (this.open = null);
    const record = this.open?.record ?? null;
    return html`<crest-sheet .open=${this.open !== null} heading="Supplies used" @close=${close}
      .content=${this.open ? html`${this.household.all("supply").length
        ? this.form(record, close)
        : html`<p>Write the supply and the price of its pack down first.</p>
          <a class="button" href="#/household/places">Spots and supplies</a>`}` : nothing}
    ></crest-sheet>`;
  }

  /** @param {any} record @param {() => void} close */
  form(record, close) {
    return html`${nowhere()}
      <record-form recordType="supply_use" .household=${this.household} .record=${record}
        .fields=${this.fields} .preset=${{ ...this.household.when(), piece_id: this.piece }}
        .complete=${(/** @type {any} */ fields) => this.priced(fields)}
        .adjust=${(/** @type {any} */ typed) => this.priced({ ...used(record), ...typed })}
        @closed=${close} @saved=${(/** @type {CustomEvent} */ event) => {
          showToast({ text: "Written down.", undo: event.detail.undo });
          close();
        }}></record-form>
      ${record ? button({ label: "It was not used", kind: "danger",
        onClick: () => this.take(record) }) : nothing}`;
  }

  /** @param {Record<string, any>} fields @throws {CrestrailError} nothing says what was used */
  priced(fields) {
    if (!fields.supply_id) {
      const message = "Choose what was used.";
      throw new CrestrailError("bad_field", {}, [{ path: "supply_id", code: "required", message }]);
    }
    const cost = costOfUse(this.household.get("supply", fields.supply_id), fields.milliunits);
    return { ...fields, cost };
  }

  /** @param {any} record */
  async take(record) {
    this.open = null;
    const { undo } = await this.household.write([
      { type: "supply_use", id: record.id, fields: { deleted: true } },
    ]);
    showToast({ text: "Taken off the piece.", undo });
  }
}

/** @param {any} record */
function used(record) {
  return { supply_id: record?.supply_id ?? null, milliunits: record?.milliunits ?? null };
}

function nowhere() {
  return html`<p class="note">Shown with the piece only. The pack was paid as an expense, so the
    books don't take it off a second time.</p>`;
}

customElements.define("piece-supplies", PieceSupplies);
