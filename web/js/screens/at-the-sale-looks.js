import { html, nothing } from "../../vendor/lit/index.js";
import { DEFER } from "../care/data.js";
import { flawName, inspectionFor } from "../care/inspection.js";
import { checkChips } from "../ui/chips.js";
import { icon } from "../ui/icons.js";
import { countWords } from "../ui/words.js";

/** @typedef {import("../care/inspection.js").Look} Look */

const PRACTICE = "Common practice, no source";

/**
 * "What to look at" for a kind, closed until asked for: what would stop the deal stands first. A
 * tick under a look notes the flaw, here and under "Anything wrong?" alike.
 * @param {object} view
 * @param {readonly string[] | null} view.care care words of the chosen kind; null: none is chosen
 * @param {readonly string[]} view.flaws noted so far
 * @param {(flaws: string[]) => void} view.onFlaws
 */
export function lookList({ care, flaws, onFlaws }) {
  if (!care) return nothing;
  const looks = inspectionFor(care);
  const grave = looks.filter((look) => look.deal_breaker);
  const rest = looks.filter((look) => !look.deal_breaker);
  const rows = (/** @type {Look[]} */ some) => html`<ul class="looks" role="list">
    ${some.map((look) => html`<li>${lookRow(look, flaws, onFlaws)}</li>`)}</ul>`;
  return html`<details class="notice-line note sale-looks">
    <summary>${icon("eye")}<span><strong>What to look at</strong>:
      ${countWords(looks.length, "look")}${grave.length
        ? html`, ${grave.length} that would stop the deal` : nothing}</span></summary>
    <div class="stack tight">
      ${grave.length ? html`<h2 class="sale-legend">Walk away if you find it</h2>${rows(grave)}` : nothing}
      ${grave.length ? html`<h2 class="sale-legend">Then look here</h2>` : nothing}
      ${rows(rest)}
      <p class="note">Where no source is named it is common practice. ${DEFER}</p>
    </div>
  </details>`;
}

/** @param {Look} look @param {readonly string[]} flaws @param {(flaws: string[]) => void} onFlaws */
function lookRow({ text, raises, source }, flaws, onFlaws) {
  return html`${checkChips({
    legend: text, options: [{ value: raises, label: flawName(raises) }], values: flaws,
    onChange: onFlaws,
  })}
  ${source === PRACTICE ? nothing : html`<p class="notice-source">${source}</p>`}`;
}
