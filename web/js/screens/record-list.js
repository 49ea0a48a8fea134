import { html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { emptyState } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import "../ui/sheet.js";
import "./record-form.js";

/**
 * Records of one type as a list that is edited in a sheet; taking one away can be undone.
 * Subclasses say the type, the fields and how a line reads.
 */
export class RecordList extends ScreenElement {
  static properties = { ...ScreenElement.properties, open: { state: true } };

  /** @type {string} */
  static recordType = "";

  /** what one of them is called, with its article */
  static one = "a record";

  constructor() {
    super();
    /** @type {{record: any} | null} the record in the sheet; `{record: null}` makes one */
    this.open = null;
  }

  /** @returns {string} */
  get recordType() {
    return /** @type {typeof RecordList} */ (this.constructor).recordType;
  }

  /** @returns {string} */
  get one() {
    return /** @type {typeof RecordList} */ (this.constructor).one;
  }

  /** @returns {import("./record-form.js").FormField[]} */
  fields() {
    return [];
  }

  /** @returns {Record<string, any>} what a new record holds besides what is asked */
  preset() {
    return {};
  }

  /** @param {Record<string, any>} fields of a new record @returns {Record<string, any>} */
  complete(fields) {
    return fields;
  }

  /** @returns {any[]} */
  records() {
    return [...this.household.all(this.recordType)]
      .sort((a, b) => (a.sort ?? 1e6) - (b.sort ?? 1e6));
  }

  /** @param {any} record @returns {{title: string, note: string}} */
  line(record) {
    return { title: record.name ?? "", note: "" };
  }

  /** @returns {unknown} words above the list */
  intro() {
    return nothing;
  }

  /** @param {any} _record in the sheet @returns {unknown} what else can be done with it */
  more(_record) {
    return nothing;
  }

  render() {
    if (!this.household) return nothing;
    const records = this.records();
    return html`<div class="stack">
      ${this.intro()}
      <div class="cluster">
        ${button({
          label: `Add ${this.one}`, icon: "plus", onClick: () => (this.open = { record: null }),
        })}
      </div>
      ${records.length
        ? html`<ul class="rows" role="list">${records.map((r) => html`<li>${this.row(r)}</li>`)}</ul>`
        : emptyState({ icon: "plus", title: "None yet", text: `Add ${this.one} to begin.` })}
      ${this.sheet()}
    </div>`;
  }

  /** @param {any} record */
  row(record) {
    const { title, note } = this.line(record);
    return html`<button type="button" class="row row-button"
      @click=${() => (this.open = { record })}>
      <span class="row-text"><span class="row-title">${title}</span>
        <span class="note">${note}</span></span>
    </button>`;
  }

  sheet() {
    const record = this.open?.record ?? null;
    const close = () => (this.open = null);
    return html`<crest-sheet .open=${this.open !== null} @close=${close}
      .heading=${record ? this.line(record).title : `Add ${this.one}`}
      .content=${this.open ? html`<record-form recordType=${this.recordType}
        .household=${this.household} .record=${record} .fields=${this.fields()}
        .preset=${this.preset()} .complete=${(/** @type {any} */ f) => this.complete(f)} @closed=${close} @saved=${close}></record-form>
        ${record ? button({ label: "Take it off the list", kind: "danger", onClick: () => this.takeAway(record) }) : nothing}
        ${record ? this.more(record) : nothing}` : nothing}
    ></crest-sheet>`;
  }

  /** @param {any} record */
  async takeAway(record) {
    this.open = null;
    const { undo } = await this.household.write([
      { type: this.recordType, id: record.id, fields: { deleted: true } },
    ]);
    showToast({ text: `${this.line(record).title || "It"} is off the list.`, undo });
  }
}
