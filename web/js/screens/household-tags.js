import { html, nothing } from "../../vendor/lit/index.js";
import { makeTag } from "../state/actions.js";
import { allPieces } from "../state/pieces.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { checkChips, radioChips } from "../ui/chips.js";
import { ScreenElement } from "../ui/screen-element.js";
import { stepper } from "../ui/stepper.js";
import { countWords } from "../ui/words.js";
import { GROUPS, pieceName } from "./piece-words.js";

const LAYOUTS = [
  { value: "small", label: "Small", hint: "24 × 30 mm" },
  { value: "wide", label: "Wide, with the name", hint: "50 × 30 mm" },
  { value: "large", label: "Large", hint: "90 × 50 mm" },
];
const PAPERS = [{ value: "letter", label: "Letter" }, { value: "a4", label: "A4" }];

/** Sheets of labels: for pieces (with a new tag where they have none) and blank. Needs home. */
export class HouseholdTags extends ScreenElement {
  static properties = {
    ...ScreenElement.properties,
    blank: { state: true }, chosen: { state: true }, layout: { state: true },
    paper: { state: true }, trouble: { state: true }, sheet: { state: true },
  };

  constructor() {
    super();
    this.blank = 0;
    /** @type {string[]} ids of the pieces to print tags for */
    this.chosen = [];
    this.layout = "wide";
    this.paper = "letter";
    this.trouble = "";
    /** @type {string | null} the address of the finished sheet */
    this.sheet = null;
  }

  /** @returns {import("../state/pieces.js").PieceView[]} what is in hand */
  inHand() {
    return allPieces(this.household).filter(({ stage }) => GROUPS[0].stages.includes(stage));
  }

  render() {
    if (!this.household) return nothing;
    const inHand = this.inHand();
    return html`<div class="stack">
      <p>A blank tag becomes a piece's when you scan it and say which piece it is on.</p>
      <div class="stack tight"><h2>Blank tags</h2>
        ${stepper({
          label: "Blank tags", value: this.blank, min: 0, max: 300,
          onChange: (value) => this.change({ blank: value }),
        })}</div>
      ${inHand.length
        ? checkChips({
            legend: "For pieces in hand", values: this.chosen,
            options: inHand.map(({ piece, tag }) => ({
              value: piece.id, label: pieceName(this.household, piece),
              hint: tag ? "print again" : "new",
            })),
            onChange: (values) => this.change({ chosen: values }),
          })
        : nothing}
      ${radioChips({
        name: "layout", legend: "Size", options: LAYOUTS, value: this.layout,
        onChange: (value) => this.change({ layout: value }),
      })}
      ${radioChips({
        name: "paper", legend: "Paper", options: PAPERS, value: this.paper,
        onChange: (value) => this.change({ paper: value }),
      })}
      ${this.trouble ? notice({ level: "warn", title: this.trouble }) : nothing}
      <div class="cluster">
        ${button({
          label: `Make a sheet of ${countWords(this.blank + this.chosen.length, "tag")}`,
          icon: "print", kind: "go", disabled: this.blank + this.chosen.length === 0,
          onClick: () => this.make(),
        })}
        ${this.sheet
          ? html`<a class="button" href=${this.sheet} download="crestrail-tags.pdf">Save the sheet</a>`
          : nothing}
      </div>
    </div>`;
  }

  /** @param {Partial<{blank: number, chosen: string[], layout: string, paper: string}>} change */
  change(change) {
    Object.assign(this, change);
    this.sheet = null;
  }

  /**
   * @param {string[]} ids pieces; one without a tag gets one now
   * @returns {Promise<{code: string, title: string}[]>}
   */
  async tagsOf(ids) {
    const { household } = this;
    for (const id of ids) {
      if (!household.where("tag", "piece_id", id).length) await makeTag(household, id);
    }
    return ids.map((id) => ({
      code: household.where("tag", "piece_id", id)[0].code,
      title: pieceName(household, household.get("piece", id)),
    }));
  }

  async make() {
    this.trouble = "";
    try {
      const tags = await this.tagsOf(this.chosen);
      const pdf = await this.household.api("/api/tag-sheets", {
        method: "POST", want: "blob",
        json: { tags, blank: this.blank, layout: this.layout, paper: this.paper },
      });
      if (this.sheet) URL.revokeObjectURL(this.sheet);
      this.sheet = URL.createObjectURL(pdf);
    } catch (error) {
      this.trouble = /** @type {any} */ (error).code
        ? /** @type {Error} */ (error).message
        : "Sheets are drawn at home, and home doesn't answer. Codes in letters can be written by hand.";
    }
  }
}

customElements.define("household-tags", HouseholdTags);
