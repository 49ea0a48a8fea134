import { LitElement } from "../../vendor/lit/index.js";

/**
 * What every screen is: light DOM, `household` and `route` from the shell, drawn again when the
 * household changes. A screen that keeps its own scrolling regions sets `static fills = true`.
 */
export class ScreenElement extends LitElement {
  /** @type {import("../../vendor/lit/index.js").PropertyDeclarations} */
  static properties = { household: { attribute: false }, route: { attribute: false } };

  static fills = false;

  constructor() {
    super();
    /** @type {any} the household as in the client's contract */
    this.household = null;
    /** @type {import("./routes.js").Route} */
    this.route = { name: "at-the-sale", parts: [], params: {} };
    /** @type {(() => void) | null} */
    this.unsubscribe = null;
  }

  createRenderRoot() {
    return this;
  }

  connectedCallback() {
    super.connectedCallback();
    this.#follow();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    this.unsubscribe?.();
    this.unsubscribe = null;
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (changed.has("household")) this.#follow();
  }

  /**
   * Called when records changed; draws again unless a screen does more.
   * @param {Set<string>} _types
   */
  recordsChanged(_types) {
    this.requestUpdate();
  }

  /**
   * Give the screen's heading and the window a title of its own, such as a piece's name.
   * @param {string} title
   */
  setTitle(title) {
    this.dispatchEvent(new CustomEvent("screen-title", { detail: title, bubbles: true }));
  }

  #follow() {
    this.unsubscribe?.();
    this.unsubscribe = this.household?.subscribe(
      (/** @type {Set<string>} */ types) => this.recordsChanged(types),
    ) ?? null;
  }
}
