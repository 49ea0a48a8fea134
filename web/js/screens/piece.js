import { html, nothing } from "../../vendor/lit/index.js";
import { showTagCode } from "../basis/ids.js";
import { bringPhoto, deletePiece } from "../state/actions.js";
import { forgetPeopleOf } from "../state/people.js";
import { pieceView } from "../state/pieces.js";
import { button } from "../ui/button.js";
import { badge, emptyState, notice, tagCard } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { countWords } from "../ui/words.js";
import { factsOf } from "./piece-facts.js";
import "./piece-corrections.js";
import "./piece-edit.js";
import "./piece-history.js";
import { nextOf } from "./piece-next.js";
import "./piece-photo.js";
import "./piece-selling.js";
import { storyList } from "./piece-story.js";
import { pieceName, STAGE_TONES, STAGE_WORDS } from "./piece-words.js";
import "./piece-work.js";
import "./pieces.js";

/** @typedef {import("../state/pieces.js").PieceView} PieceView */

/** Everything about one piece, its next step first; on a laptop the list stands beside it. */
export class ScreenPiece extends ScreenElement {
  static properties = { ...ScreenElement.properties, editing: { state: true } };

  constructor() {
    super();
    this.editing = false;
    /** @type {PieceView | null} as this phone knew it last, while one is on its page */
    this.known = null;
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    if (changed.has("route")) [this.editing, this.known] = [false, null];
    const piece = this.household?.get("piece", this.route.parts[0]);
    if (!piece) return;
    this.known = pieceView(this.household, piece.id);
    this.setTitle(pieceName(this.household, piece));
  }

  render() {
    if (!this.household) return nothing;
    const id = this.route.parts[0];
    return html`<div class="panes">
      <screen-pieces class="beside" .household=${this.household} current=${id}></screen-pieces>
      ${this.known ? this.page(this.known) : this.gone()}
    </div>`;
  }

  gone() {
    return emptyState({
      icon: "pieces", title: "This phone doesn't know that piece",
      text: "It may have been deleted, or it is on another phone that was not home since.",
      action: html`<a class="button" href="#/pieces">All pieces</a>`,
    });
  }

  /** @param {PieceView} view */
  page(view) {
    const { piece, stage, photos, tag } = view;
    const looks = this.household.where("look", "about_id", piece.id)
      .filter((/** @type {any} */ look) => !look.settled_at);
    return html`<article class="stack">
      ${this.household.get("piece", piece.id) ? nothing : deletedMeanwhile()}
      ${tagCard({
        label: "The piece",
        body: html`<div class="spread">
            <h2>${pieceName(this.household, piece)}</h2>
            ${badge(STAGE_WORDS[stage] ?? stage, STAGE_TONES[stage] ?? "")}
          </div>
          ${factsOf(this.household, view)}
          ${tag ? html`<p class="note">Tag <span class="code">${showTagCode(tag.code)}</span></p>` : nothing}
          <div class="cluster">${nextOf(view)}</div>`,
      })}
      ${looks.length
        ? notice({
            level: "warn", title: `${countWords(looks.length, "thing")} about it need${looks.length === 1 ? "s" : ""} settling`,
            text: html`<a href="#/household/looks">See both versions</a>`,
          })
        : nothing}
      ${this.photos(photos)}
      <piece-work .household=${this.household} .view=${view}></piece-work>
      <piece-selling .household=${this.household} .view=${view} todo=${this.route.params.do ?? ""}></piece-selling>
      <piece-corrections .household=${this.household} .view=${view}></piece-corrections>
      <details class="more"><summary>Its story</summary>${storyList(this.household, piece)}</details>
      <details class="more"><summary>Every change, and what was overruled</summary>
        <piece-history .household=${this.household} piece=${piece.id}></piece-history></details>
      ${this.foot(view)}
    </article>`;
  }

  /** @param {any[]} photos */
  photos(photos) {
    return html`<section class="stack tight">
      <h2>Photos</h2>
      ${photos.length
        ? html`<ul class="photo-strip" role="list">${photos.map((photo) => html`<li>
            <piece-photo .household=${this.household} large sha256=${photo.sha256}
              alt=${photo.caption || photo.purpose || "the piece"}></piece-photo></li>`)}</ul>`
        : html`<p class="soft">None yet.</p>`}
      <label class="button file-button"><span>Take a photo</span>
        <input class="unseen" type="file" accept="image/*" capture="environment" @change=${this.take} />
      </label>
    </section>`;
  }

  /** @param {PieceView} view */
  foot({ piece }) {
    return html`<section class="stack tight">
      ${this.editing
        ? html`<piece-edit .household=${this.household} .piece=${piece}
            @done=${() => (this.editing = false)}></piece-edit>`
        : html`<div class="cluster">
            ${button({ label: "Change what is written", icon: "edit", onClick: () => (this.editing = true) })}
            ${button({ label: "Delete", icon: "trash", kind: "danger", onClick: () => this.takeAway(piece) })}
            ${button({
              label: "Forget the people who asked", kind: "quiet",
              onClick: () => this.forget(piece),
            })}
          </div>
          <p class="note">Forgetting takes out who asked, who offered, who bought, and what was noted
            with it, here and at home, for good; a promise that still holds keeps its name. The
            money stays in the books. Old backups and files still hold the people. To forget one
            person everywhere: <a href="#/household/wants">Household, People</a>.</p>`}
    </section>`;
  }

  /** @param {Event} event */
  async take(event) {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    if (!file) return;
    try {
      const { undo } = await bringPhoto(this.household, this.route.parts[0], file);
      showToast({ text: "Photo saved on this phone.", undo });
    } catch (error) {
      showToast({ text: /** @type {Error} */ (error).message });
    } finally {
      input.value = "";
    }
  }

  /** @param {any} piece */
  async takeAway(piece) {
    const { undo } = await deletePiece(this.household, piece.id);
    showToast({ text: `${pieceName(this.household, piece)} is deleted.`, undo });
    location.hash = "#/pieces";
  }

  /** @param {any} piece */
  async forget(piece) {
    const count = await forgetPeopleOf(this.household, piece.id);
    showToast({
      text: count
        ? `Forgot ${countWords(count, "entry", "entries")} about people, here and at home. Old backups and files still hold them.`
        : "Nothing about people is written here that could be forgotten.",
    });
  }
}

/** What was being typed stays on the page of a piece that another phone has deleted. */
function deletedMeanwhile() {
  return notice({
    level: "warn", title: "This piece was deleted meanwhile",
    text: html`What you typed here is still there. Save it, and once it is at home the piece
      stands under <a href="#/household/looks">Needs settling</a>, where you can bring it back.
      <a href="#/pieces">All pieces</a>`,
  });
}

customElements.define("screen-piece", ScreenPiece);
