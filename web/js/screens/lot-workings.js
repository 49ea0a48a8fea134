/** How the most to pay for several finds at one price adds up, as a fold. */

import { html, nothing } from "../../vendor/lit/index.js";
import { waterfall } from "../ui/waterfall.js";
import { workings } from "./at-the-sale-words.js";
import { lotRows } from "./lot-sums.js";

/**
 * @param {import("../pricing/pad.js").PadAnswer[]} answers what the pad says of each
 * @param {import("../pricing/lots-answer.js").LotAnswer} lot
 */
export function lotWorkings(answers, lot) {
  if (lot.most <= 0) return nothing;
  const rows = lotRows(answers.map((answer) => answer.waterfall), lot);
  return html`<details class="more"><summary>Workings</summary><div class="stack tight">
    ${waterfall("From what they likely bring to the most to pay for all", workings(rows))}
    <p class="note">Each row is that of every find added up. ${lot.binding === "loss"
      ? "Caution is taken off for all together: they will hardly all go wrong at once." : nothing}
    </p>
  </div></details>`;
}
