import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { iconButton } from "./button.js";
import { placeToast } from "./toast.js";
import "./number-pad.js";

/**
 * A sheet over the screen: a modal `dialog`, so the focus is kept inside and given back by the
 * browser. `content` and `foot` are templates. Fires `close` however it was closed.
 *
 * `<crest-sheet .open=${x} .heading=${"What kind?"} .content=${html`…`} .foot=${html`…`}
 *   @close=${() => (x = false)}></crest-sheet>`
 */
export class CrestSheet extends LitElement {
  static properties = {
    open: { type: Boolean },
    heading: { type: String },
    content: { attribute: false },
    foot: { attribute: false },
    padTarget: { state: true },
  };

  constructor() {
    super();
    this.open = false;
    this.heading = "";
    /** @type {unknown} */
    this.content = nothing;
    /** @type {unknown} */
    this.foot = nothing;
    /** @type {import("./money-input.js").CrestMoneyInput | null} */
    this.padTarget = null;
  }

  createRenderRoot() {
    return this;
  }

  render() {
    return html`<dialog aria-label=${this.heading}
      @close=${this.#closed} @pointerdown=${this.#outside}
      @pad-open=${this.#padOpen} @pad-close=${this.#padClose}>
      ${this.open ? this.#inside() : nothing}
    </dialog>`;
  }

  updated() {
    if (!this.isConnected) return; // taken away before it was drawn
    const dialog = this.dialog;
    if (this.open && !dialog.open) dialog.showModal();
    if (!this.open && dialog.open) dialog.close();
    placeToast();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.dialog?.close();
    placeToast(this);
  }

  /** The dialog element. */
  get dialog() {
    return /** @type {HTMLDialogElement} */ (this.querySelector("dialog"));
  }

  #inside() {
    return html`<div class="sheet-head">
        <h2>${this.heading}</h2>
        ${iconButton({ label: "Close", icon: "close", onClick: () => this.dialog.close() })}
      </div>
      <div class="sheet-body">${this.content}</div>
      ${this.foot === nothing ? nothing : html`<div class="sheet-foot">${this.foot}</div>`}
      <crest-number-pad .target=${this.padTarget}></crest-number-pad>`;
  }

  #closed() {
    this.padTarget = null;
    placeToast();
    if (!this.open) return;
    this.open = false;
    this.dispatchEvent(new CustomEvent("close"));
  }

  /** @param {PointerEvent} event */
  #outside(event) {
    if (event.target !== this.dialog) return;
    event.preventDefault();
    this.dialog.close();
  }

  /** @param {Event} event */
  #padOpen(event) {
    event.stopPropagation();
    this.padTarget = /** @type {import("./money-input.js").CrestMoneyInput} */ (event.target);
  }

  /** @param {Event} event */
  #padClose(event) {
    event.stopPropagation();
    if (this.padTarget === event.target) this.padTarget = null;
  }
}

customElements.define("crest-sheet", CrestSheet);
