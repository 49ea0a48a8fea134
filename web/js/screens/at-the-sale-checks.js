import { html, nothing } from "../../vendor/lit/index.js";
import { DEFER } from "../care/data.js";
import { flawName, inspectionFor } from "../care/inspection.js";
import { checkChips } from "../ui/chips.js";
import { icon } from "../ui/icons.js";
import { countWords } from "../ui/words.js";

/** @typedef {import("../care/inspection.js").Check} Check */

const PRACTICE = "Common practice, no source";

/**
 * "Check before paying" for a kind, closed until asked for: what would stop the deal stands first. A
 * tick under a check notes the flaw, here and under "Anything wrong?" alike.
 * @param {object} view
 * @param {readonly string[] | null} view.care care words of the chosen kind; null: none is chosen
 * @param {readonly string[]} view.flaws noted so far
 * @param {(flaws: string[]) => void} view.onFlaws
 */
export function checkList({ care, flaws, onFlaws }) {
  if (!care) return nothing;
  const checks = inspectionFor(care);
  const grave = checks.filter((check) => check.deal_breaker);
  const rest = checks.filter((check) => !check.deal_breaker);
  const rows = (/** @type {Check[]} */ some) => html`<ul class="checks" role="list">
    ${some.map((check) => html`<li>${checkRow(check, flaws, onFlaws)}</li>`)}</ul>`;
  return html`<details class="notice-line note sale-checks">
    <summary>${icon("eye")}<span><strong>Check before paying</strong>:
      ${countWords(checks.length, "thing")}${grave.length
        ? html`, ${grave.length} that would stop the deal` : nothing}</span></summary>
    <div class="stack tight">
      ${grave.length ? html`<h2 class="sale-legend">Walk away if you find it</h2>${rows(grave)}` : nothing}
      ${grave.length ? html`<h2 class="sale-legend">Then check this</h2>` : nothing}
      ${rows(rest)}
      <p class="note">Where no source is named it is common practice. ${DEFER}</p>
    </div>
  </details>`;
}

/** @param {Check} check @param {readonly string[]} flaws @param {(flaws: string[]) => void} onFlaws */
function checkRow({ text, raises, source }, flaws, onFlaws) {
  return html`${checkChips({
    legend: text, options: [{ value: raises, label: flawName(raises) }], values: flaws,
    onChange: onFlaws,
  })}
  ${source === PRACTICE ? nothing : html`<p class="notice-source">${source}</p>`}`;
}
