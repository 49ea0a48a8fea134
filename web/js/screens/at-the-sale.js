import { html, nothing } from "../../vendor/lit/index.js";
import { guard } from "../../vendor/lit/directives/guard.js";
import { button } from "../ui/button.js";
import { isKept, keep } from "../ui/preference.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { againList, askedFind, findOf, undecided } from "./at-the-sale-again.js";
import { addListed, decide, endOuting, goOn, makeWay, setOut } from "./at-the-sale-acts.js";
import { saleCard } from "./at-the-sale-card.js";
import { DRAFT, emptyFind, fromDraft, isEmpty, isUntouched } from "./at-the-sale-find.js";
import { askField, listed, saleForm } from "./at-the-sale-form.js";
import { saleNotices } from "./at-the-sale-notices.js";
import { outingLine } from "./at-the-sale-outing.js";
import { besidesAsk, choicesOf, nameOf, viewOf } from "./at-the-sale-view.js";
import { spoken } from "./at-the-sale-words.js";
import { workingsOf } from "./at-the-sale-workings.js";
import "../ui/live-region.js";
import "../ui/sheet.js";
import "./at-the-sale-bought.js";
import "./at-the-sale-picker.js";

/** @typedef {import("./at-the-sale-find.js").Find} Find */
/** @typedef {import("./at-the-sale-find.js").Live} Live */
/** @typedef {import("./at-the-sale-view.js").View} View */
/** @typedef {import("./at-the-sale-picker.js").Listed} Listed */

const COVER = "crestrail.cover";
/** @type {never[]} the same list each time, so that what shows it is not drawn again */
const NONE = [];
/** The card shrinks where there is more to scroll than this, in pixels, or it would flicker. */
const WORTH_SHRINKING = 260;

/** The pad: what is the most to pay for this piece? Everything on it works without a network. */
export class AtTheSale extends ScreenElement {
  /** @type {import("../../vendor/lit/index.js").PropertyDeclarations} */
  static properties = {
    find: { state: true },
    listed: { state: true },
    sheet: { state: true },
    covered: { state: true },
    held: { state: true },
    scrolled: { state: true },
    typing: { state: true },
  };

  static fills = true;

  constructor() {
    super();
    this.find = emptyFind();
    /** @type {Listed | null} */
    this.listed = null;
    /** @type {"bought" | "workings" | "outing" | null} */
    this.sheet = null;
    this.covered = isKept(COVER);
    this.held = false;
    this.deciding = false; // so that a double tap keeps a find once
    this.scrolled = false;
    /** @type {"" | "in-ask" | "in-form"} where the number pad is typing */
    this.typing = "";
    this.wide = window.matchMedia("(min-width: 60rem) and (min-height: 40rem)");
    this.redraw = () => this.requestUpdate();
    this.ready = false;
    this.kept = /** @type {number | undefined} */ (undefined); // the draft is about to be
  }

  async connectedCallback() {
    super.connectedCallback();
    this.wide.addEventListener("change", this.redraw);
    if (!this.household) return;
    const draft = fromDraft(await this.household.draft(DRAFT));
    if (isEmpty(this.find)) this.find = draft;
    this.ready = true;
    this.#openAsked();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.wide.removeEventListener("change", this.redraw);
  }

  /** @param {Map<string, unknown>} changed */
  updated(changed) {
    if (changed.has("route") && this.ready) this.#openAsked();
  }

  /** The find that the address names, once: going back or reloading keeps what was typed since. */
  #openAsked() {
    if (!this.route.params.piece) return;
    const piece = askedFind(this.household, this.route.params.piece);
    window.history.replaceState(window.history.state, "", "#/sale");
    if (piece && piece.id !== this.find.id) this.#bringBack(piece);
  }

  render() {
    if (!this.household) return nothing;
    const view = viewOf(this.household, this.find);
    return html`<div
      class="sale ${this.scrolled ? "scrolled" : ""} ${this.typing ? `typing ${this.typing}` : ""}"
      @pad-open=${this.#typing} @pad-close=${() => (this.typing = "")}>
      ${outingLine(view.running, () => (this.sheet = "outing"))}
      <div class="sale-answer">${saleCard(this.#card(view))}
        ${this.wide.matches && !this.covered ? this.#beside(view) : nothing}</div>
      <div class="sale-form stack" @scroll=${this.#scrolling}>
        ${guard(besidesAsk(this.household, this.find), () => [
          saleNotices(view, this.household), saleForm(this.#form(view)), this.#again(view)])}
      </div>
      ${this.#bar(view)}
    </div>
    <crest-live-region .text=${this.covered ? "" : spoken(view.face, view.answer)}>
    </crest-live-region>
    ${this.#sheets(view)}`;
  }

  /** @param {View} view @returns {import("./at-the-sale-card.js").CardView} */
  #card({ face, answer, stops, running }) {
    return {
      face, answer, stops,
      cash: running?.cashLeft ?? null,
      covered: this.covered,
      held: this.held,
      booked: Boolean(this.household.book),
      onWorkings: () => (this.sheet = "workings"),
      onCover: () => {
        this.covered = !this.covered;
        keep(COVER, this.covered);
      },
      onHold: (held) => (this.held = held),
    };
  }

  /** On a laptop the workings stand under the answer. @param {View} view */
  #beside({ answer, stops, traits }) {
    if (!answer.ok || stops.length) return nothing;
    return html`<div class="sale-beside">
      ${workingsOf({ household: this.household, find: this.find, answer, traits })}</div>`;
  }

  /** @param {View} view @returns {import("./at-the-sale-form.js").FormView} */
  #form(view) {
    return {
      household: this.household,
      find: this.find,
      choices: choicesOf(this.household, view),
      change: (changes) => this.change(changes),
      more: (listed) => (this.listed = listed),
      onPhoto: (file) => this.#photo(file),
      onPicker: () => this.#keep(),
    };
  }

  /** @param {View} view */
  #again({ kinds }) {
    const { household } = this;
    const finds = undecided(household.all("piece"), household.all("purchase"));
    return againList({
      household,
      finds: finds.filter(({ id }) => id !== this.find.id),
      nameOf: (find) => find.title || nameOf(kinds, find.kind) || "A find",
      onBack: (find) => this.#bringBack(find),
    });
  }

  /** @param {View} view */
  #bar(view) {
    const away = ["over", "stop", "nothing"].includes(view.face.state);
    return html`<div class="sale-bar">
      ${askField(this.find.ask, (ask) => this.change({ ask }))}
      <div class="sale-buttons">
        ${button({ label: "Pass", kind: away ? "go" : "plain",
          onClick: () => this.#decide(view, { how: "passed" }) })}
        ${button({ label: "Later", onClick: () => this.#decide(view, { how: "later" }) })}
        ${button({ label: "Bought", kind: away ? "plain" : "go",
          onClick: () => (this.sheet = "bought") })}
      </div>
    </div>`;
  }

  /** @param {View} view */
  #sheets(view) {
    const [close, { answer }] = [() => (this.sheet = null), view];
    return html`
      <sale-picker .listed=${this.listed} .options=${this.#options(view)} .chosen=${this.#chosen()}
        @picked=${(/** @type {CustomEvent} */ event) => this.#picked(event.detail)}
        @add=${(/** @type {CustomEvent} */ event) => this.#add(event.detail)}
        @close=${() => (this.listed = null)}></sale-picker>
      <sale-bought .open=${this.sheet === "bought"} .household=${this.household}
        .look=${this.sheet === "bought" ? { find: this.find, view } : null} .covered=${this.covered} @close=${close}
        @bought=${(/** @type {CustomEvent} */ event) =>
          this.#decide(view, { how: "bought", ...event.detail })}></sale-bought>
      <sale-outing .open=${this.sheet === "outing"} .running=${view.running}
        .units=${this.household.setting.units ?? "us"} @close=${close}
        @start=${(/** @type {CustomEvent} */ event) => this.#tell(setOut, event.detail)}
        @stop=${(/** @type {CustomEvent} */ event) => this.#tell(goOn, event.detail)}
        @end=${(/** @type {CustomEvent} */ event) => this.#tell(endOuting, event.detail)}
      ></sale-outing>
      <crest-sheet .open=${this.sheet === "workings" && answer.ok} .heading=${"Workings"}
        .content=${this.sheet === "workings" && answer.ok
          ? workingsOf({ household: this.household, find: this.find, answer, traits: view.traits })
          : nothing} @close=${close}></crest-sheet>`;
  }

  /**
   * Change the find and keep it: a page that is closed now loses nothing.
   * @param {Partial<Find>} changes
   */
  change(changes) {
    this.find = { ...this.find, ...changes };
    this.kept ??= window.setTimeout(() => this.#keep()); // the answer comes first
  }

  #keep() {
    this.kept = undefined;
    return this.household.saveDraft(DRAFT, isUntouched(this.find) ? null : this.find);
  }

  /** @param {View} view */
  #options(view) {
    return this.listed ? listed(choicesOf(this.household, view), this.listed, this.find) : NONE;
  }

  #chosen() {
    if (this.listed === "kinds") return this.find.kind ? [this.find.kind] : [];
    return this.listed ? this.find[this.listed] : NONE;
  }

  /** @param {string[]} slugs */
  #picked(slugs) {
    if (this.listed === "kinds") {
      this.change({ kind: slugs[0] });
      this.listed = null;
    } else if (this.listed) {
      this.change({ [this.listed]: slugs });
    }
  }

  /** @param {Record<string, any>} fields of a kind, look or step that was not there */
  async #add(fields) {
    const { listed } = this;
    if (!listed || listed === "flaws") return;
    const slug = await addListed(this.household, listed, fields);
    this.#picked([...(listed === "kinds" ? [] : this.#chosen()), slug]);
  }

  /** @param {File} file */
  async #photo(file) {
    const photo = await this.household.savePhoto(file);
    this.change({ photos: [...this.find.photos, photo] });
  }

  /** @param {View} view @param {import("./at-the-sale-acts.js").Decision} decision */
  async #decide(view, decision) {
    if (decision.how !== "bought" && isEmpty(this.find)) {
      showToast({ text: "Nothing to keep yet: take a photo, or say what it is." });
      return;
    }
    if (this.deciding) return;
    [this.deciding, this.sheet] = [true, null];
    const said = await decide(this.household, { find: this.find, view }, decision)
      .finally(() => (this.deciding = false));
    this.change(emptyFind());
    this.querySelector(".sale-form")?.scrollTo(0, 0);
    showToast(said);
  }

  /**
   * @param {(household: any, detail: any) => Promise<{text: string, undo: () => unknown}>} act
   * @param {unknown} detail
   */
  async #tell(act, detail) {
    this.sheet = null;
    showToast(await act(this.household, detail));
  }

  /** @param {Live} piece */
  #bringBack(piece) {
    const before = this.find;
    this.change(findOf(this.household, piece));
    this.querySelector(".sale-form")?.scrollTo(0, 0);
    return makeWay(this.household, { find: before, view: viewOf(this.household, before) });
  }

  /** @param {Event} event */
  #typing(event) {
    const { inputId } = /** @type {HTMLElement & {inputId: string}} */ (event.target);
    this.typing = inputId === "ask" ? "in-ask" : "in-form";
  }

  /** @param {Event} event */
  #scrolling({ target }) {
    const { scrollTop, scrollHeight, clientHeight } = /** @type {HTMLElement} */ (target);
    if (scrollTop <= 0) this.scrolled = false;
    else if (scrollHeight - clientHeight > WORTH_SHRINKING) this.scrolled = true;
  }
}

customElements.define("screen-at-the-sale", AtTheSale);
