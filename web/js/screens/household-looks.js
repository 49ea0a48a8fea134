import { html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { emptyState } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { ageWords, countWords } from "../ui/words.js";
import { choicesOf, headingOf, valueWords } from "./look-words.js";

/** What two people or two phones did not agree on, with both versions, until somebody decides. */
export class HouseholdLooks extends ScreenElement {
  render() {
    if (!this.household) return nothing;
    const looks = this.household.all("look");
    const open = looks.filter((/** @type {any} */ look) => !look.settled_at);
    const settled = looks.length - open.length;
    return html`<div class="stack">
      ${open.length
        ? open.map((/** @type {any} */ look) => this.card(look))
        : emptyState({
            icon: "check", title: "Nothing needs settling",
            text: "When two phones changed the same thing while apart, both versions stand here until one of you decides.",
          })}
      ${settled ? html`<p class="note">${countWords(settled, "thing")} settled before.</p>` : nothing}
    </div>`;
  }

  /** @param {any} look */
  card(look) {
    const { first, second, third } = choicesOf(look, this.household);
    return html`<article class="panel stack tight">
      <h2>${headingOf(this.household, look)}</h2>
      <p>${look.message}</p>
      <dl class="facts">
        ${look.kept ? html`<dt>Stands now</dt><dd>${valueWords(this.household, look.kept, look.about_type)}</dd>` : nothing}
        ${look.other ? html`<dt>The other</dt><dd>${valueWords(this.household, look.other, look.about_type)}</dd>` : nothing}
      </dl>
      <p class="note">${ageWords(look.at, this.household.now())}</p>
      <div class="cluster">
        ${button({ label: first.label, kind: "go", onClick: () => this.settle(look, first) })}
        ${[second, third].map((choice) => choice
          ? button({ label: choice.label, onClick: () => this.settle(look, choice) }) : nothing)}
      </div>
    </article>`;
  }

  /**
   * @param {any} look
   * @param {import("./look-words.js").Choice} choice
   */
  async settle(look, choice) {
    const settled = {
      type: "look", id: look.id,
      fields: { settled_at: this.household.when().at, settled_how: choice.label },
    };
    const { undo } = await this.household.write([...choice.writes, settled]);
    showToast({ text: `Settled: ${choice.label.toLowerCase()}.`, undo });
  }
}

customElements.define("household-looks", HouseholdLooks);
