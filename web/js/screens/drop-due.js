import { html, nothing } from "../../vendor/lit/index.js";
import { dropDue, makeDrop, skipDrop } from "../state/asking.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { dayWords, moneyWords } from "../ui/words.js";
import { pieceName } from "./piece-words.js";

/** A planned drop whose day has come, done with one tap; nothing where none is due. */
export class DropDue extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, view: { attribute: false }, named: { type: Boolean },
  };

  constructor() {
    super();
    /** @type {import("../state/pieces.js").PieceView | null} */
    this.view = null;
    /** whether the piece is named, for a list of several */
    this.named = false;
  }

  render() {
    if (!this.household || !this.view) return nothing;
    const drop = dropDue(this.household, this.view);
    if (!drop) return nothing;
    const { piece, asking } = this.view;
    const today = this.household.today();
    const since = drop.from_on === today ? "today" : `since ${dayWords(drop.from_on, today)}`;
    const amount = moneyWords(drop.amount);
    const name = this.named
      ? html`<a href="#/pieces/${piece.id}">${pieceName(this.household, piece)}</a>: ` : nothing;
    return notice({
      level: "note", title: `${asking ? "Drop to" : "List it at"} ${amount} today`,
      text: html`<p>${name}Due ${since}${asking ? `, asked ${moneyWords(asking.amount)} now` : ""}.
          Change it where it is listed too.</p>
        <div class="cluster">
          ${button({
            label: `Asked ${amount} from today`, icon: "check", onClick: () => this.make(drop),
          })}
          ${button({
            label: asking ? `Leave it at ${moneyWords(asking.amount)}` : "Not now", kind: "quiet",
            onClick: () => this.skip(drop),
          })}
        </div>`,
    });
  }

  /** @param {any} drop */
  async make(drop) {
    const { piece } = /** @type {import("../state/pieces.js").PieceView} */ (this.view);
    const { undo } = await makeDrop(this.household, piece, drop);
    showToast({ text: `Asking ${moneyWords(drop.amount)} from today.`, undo });
  }

  /** @param {any} drop */
  async skip(drop) {
    const { piece } = /** @type {import("../state/pieces.js").PieceView} */ (this.view);
    const { undo } = await skipDrop(this.household, piece, drop);
    showToast({ text: "The price stays as it is.", undo });
  }
}

customElements.define("drop-due", DropDue);
