import { LitElement, html, nothing } from "../../vendor/lit/index.js";
import { button, iconButton } from "./button.js";
import { icon } from "./icons.js";
import { PLACES, placeOf, readRoute, titleOf } from "./routes.js";
import { statusPill } from "./status-pill.js";
import "./number-pad.js";
import { showToast } from "./toast.js";

const TICK = 30_000;

/**
 * The frame of the app: heading, status, the screen the address means, messages, navigation.
 *
 * Given by the boot: `household` (null: this phone belongs to none yet, only the pairing screen is
 * shown) and `updateReady` (a new version waits; `update-accepted` is fired when the person
 * agrees).
 */
export class CrestShell extends LitElement {
  static properties = {
    household: { attribute: false },
    updateReady: { type: Boolean },
    route: { state: true },
    screen: { state: true },
    heading: { state: true },
    padTarget: { state: true },
  };

  constructor() {
    super();
    /** @type {any} the household as in the client's contract */
    this.household = null;
    this.updateReady = false;
    this.route = readRoute(window.location);
    /** @type {(HTMLElement & {household: any, route: any}) | null} */
    this.screen = null;
    this.heading = titleOf(this.route.name);
    /** @type {import("./money-input.js").CrestMoneyInput | null} */
    this.padTarget = null;
    /** @type {(() => void) | null} */
    this.unsubscribe = null;
    /** @type {number | undefined} */
    this.tick = undefined;
    this.job = 0;
    /** @type {Map<string, number>} how far each place was scrolled when it was left */
    this.tops = new Map();
    this.moved = () => this.#go();
  }

  createRenderRoot() {
    return this;
  }

  connectedCallback() {
    super.connectedCallback();
    window.addEventListener("hashchange", this.moved);
    this.tick = window.setInterval(() => this.requestUpdate(), TICK);
    this.addEventListener("screen-title", this.#titled);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    window.removeEventListener("hashchange", this.moved);
    window.clearInterval(this.tick);
    this.unsubscribe?.();
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    if (!changed.has("household")) return;
    this.unsubscribe?.();
    this.unsubscribe = this.household?.subscribe(() => this.requestUpdate()) ?? null;
    this.#go();
  }

  render() {
    const fills = /** @type {any} */ (this.screen?.constructor)?.fills ?? false;
    return html`<div class="shell" data-hand=${this.household?.setting?.hand ?? "right"}
      @pad-open=${this.#padOpen} @pad-close=${this.#padClose}>
      <button type="button" class="button skip-link" @click=${() => this.#main.focus()}>
        Skip to the screen</button>
      ${this.#head()}
      <main class="shell-main ${fills ? "fills" : ""}" tabindex="-1">${this.screen}</main>
      <div class="shell-toast">${this.updateReady ? this.#update() : nothing}
        <crest-toast></crest-toast></div>
      ${this.household && !(this.padTarget && this.#small) ? this.#nav() : nothing}
      ${this.padTarget
        ? html`<section class="shell-dock" aria-label="Keys">
            <crest-number-pad .target=${this.padTarget}></crest-number-pad></section>`
        : nothing}
    </div>`;
  }

  #head() {
    const up = this.route.name === "piece" ? "#/pieces" : "";
    return html`<header class="shell-top"><div class="shell-head">
      ${up
        ? iconButton({ label: "Back to Pieces", icon: "back", onClick: () => {
            window.location.hash = up;
          } })
        : nothing}
      <h1 tabindex="-1">${this.heading}</h1>
      ${this.household ? statusPill(this.household.sync, this.household.now()) : nothing}
      </div>
      ${this.household?.sample
        ? html`<p class="sample-mark">Invented sample, nobody's real pieces</p>`
        : nothing}
    </header>`;
  }

  #nav() {
    const here = placeOf(this.route.name);
    return html`<nav class="shell-nav" aria-label="Screens">
      ${PLACES.map((place) => html`<a href=${place.hash}
        aria-current=${place.name === here ? "page" : nothing}>
        ${icon(place.icon)}<span>${place.title}</span></a>`)}
    </nav>`;
  }

  #update() {
    return html`<div class="toast" role="status">
      <span class="toast-text">A new version is ready.</span>
      ${button({ label: "Restart now", onClick: () =>
        this.dispatchEvent(new CustomEvent("update-accepted", { bubbles: true })) })}
      ${iconButton({ label: "Later", icon: "close", onClick: () => (this.updateReady = false) })}
    </div>`;
  }

  get #main() {
    return /** @type {HTMLElement} */ (this.querySelector("main"));
  }

  /** Whether the navigation lies at the bottom, where the number pad goes. */
  get #small() {
    const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
    return this.clientWidth < 44 * rem;
  }

  /** Load the screen that the address means and put it in the place of the last one. */
  async #go() {
    const job = ++this.job;
    const wanted = readRoute(window.location);
    const route = allowed(wanted, this.household);
    const first = this.screen === null;
    const there = await loaded(route.name);
    if (job !== this.job || !there) return;
    const screen = /** @type {any} */ (this.#same(route)
      ? this.screen
      : document.createElement(`screen-${route.name}`));
    const other = screen !== this.screen;
    if (other) this.#name(titleOf(route.name));
    if (other && !first) this.tops.set(addressOf(this.route), this.#main.scrollTop);
    screen.household = this.household;
    screen.route = route;
    this.route = route;
    this.screen = screen;
    await this.updateComplete;
    if (other) await this.#scroll(screen);
    if (!first) this.querySelector("h1")?.focus();
  }

  /**
   * A piece is shown from its top; a list stands where it was left.
   * @param {HTMLElement & {updateComplete?: Promise<unknown>}} screen
   */
  async #scroll(screen) {
    await screen.updateComplete;
    const left = this.route.name === "piece" ? 0 : this.tops.get(addressOf(this.route));
    this.#main.scrollTop = left ?? 0;
  }

  /** @param {import("./routes.js").Route} route */
  #same(route) {
    return this.screen?.localName === `screen-${route.name}` &&
      route.parts[0] === this.route.parts[0];
  }

  /** @param {string} heading */
  #name(heading) {
    this.heading = heading;
    document.title = `${heading} · Crestrail`;
  }

  /** @param {Event} event */
  #titled(event) {
    this.#name(/** @type {CustomEvent} */ (event).detail);
  }

  /** @param {Event} event */
  #padOpen(event) {
    this.padTarget = /** @type {import("./money-input.js").CrestMoneyInput} */ (event.target);
  }

  /** @param {Event} event */
  #padClose(event) {
    if (this.padTarget !== event.target) return;
    this.padTarget = null;
    const seen = () => document.activeElement?.scrollIntoView({ block: "nearest" });
    this.updateComplete.then(() => window.requestAnimationFrame(seen));
  }
}

/**
 * Load a screen; where it cannot be had now, that is said and the present one stays.
 * @param {string} name
 * @returns {Promise<boolean>}
 */
async function loaded(name) {
  try {
    await import(`../screens/${name}.js`);
    return true;
  } catch (error) {
    console.error(error);
    showToast({ text: "This screen is not on this phone yet. Try again when home is in reach." });
    return false;
  }
}

/** @param {import("./routes.js").Route} route */
function addressOf({ name, parts }) {
  return [name, ...parts].join("/");
}

/**
 * The route a person may take: without a household only the pairing screen, and a scanned tag,
 * which shows its code.
 * @param {import("./routes.js").Route} wanted
 * @param {any} household
 * @returns {import("./routes.js").Route}
 */
function allowed(wanted, household) {
  if (household || ["pair", "scan"].includes(wanted.name)) return wanted;
  return { name: "pair", parts: [], params: {} };
}

customElements.define("crest-shell", CrestShell);
