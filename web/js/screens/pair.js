import { html, nothing } from "../../vendor/lit/index.js";
import { tidyCode } from "../basis/ids.js";
import { knownHouseholds, pairPhone } from "../state/households.js";
import { button } from "../ui/button.js";
import { notice, tagCard } from "../ui/card.js";
import { textField } from "../ui/field.js";
import { icon } from "../ui/icons.js";
import { ScreenElement } from "../ui/screen-element.js";
import { codeProblem, pairProblem, scannedCode, whereWeAre } from "./pair-words.js";
import "./scan-view.js";

/**
 * Add this phone to a household: by the code in the address that home's picture holds, or typed.
 * On an iPhone the app on the home screen keeps its own memory, so the code is not spent in a tab.
 */
export class PairScreen extends ScreenElement {
  /** @type {import("../../vendor/lit/index.js").PropertyDeclarations} */
  static properties = {
    code: { state: true },
    name: { state: true },
    wrong: { state: true },
    busy: { state: true },
    scanning: { state: true },
  };

  constructor() {
    super();
    this.code = "";
    this.wrong = "";
    this.busy = false;
    this.scanning = false;
    this.where = whereWeAre(
      /** @type {any} */ (window.navigator),
      window.matchMedia("(display-mode: standalone)").matches,
    );
    this.name = `My ${this.where.kind.toLowerCase()}`;
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    if (changed.has("route") && this.route.parts[0]) this.code = this.route.parts[0];
  }

  render() {
    const linked = Boolean(this.route.parts[0]);
    if (this.where.apple && !this.where.installed && linked) return homeScreenFirst(this.code);
    return html`<form class="stack" @submit=${this.#submit}>
      ${tagCard({ label: "Add this phone", body: html`
        <p class="card-label">${icon("phone")} ${this.household
          ? `Belongs to ${this.household.name || "a household"}` : "Not added yet"}</p>
        <p>${linked
          ? "One tap, and this phone works with your household, with or without signal."
          : "Crestrail works with a household's own computer. At home, open Household, then Add a "
            + "phone: a picture to scan and a code."}</p>` })}
      ${linked ? nothing : this.#entry()}
      ${textField({ id: "name", label: `What do you call this ${this.where.kind.toLowerCase()}?`,
        hint: "So that you know it in the list.", value: this.name, maxlength: 60,
        onInput: (text) => (this.name = text) })}
      ${linked && this.wrong ? notice({ level: "stop", title: this.wrong }) : nothing}
      <button type="submit" class="button go" ?disabled=${this.busy}>
        ${this.busy ? "Adding" : `Add this ${this.where.kind.toLowerCase()}`}</button>
      ${linked && this.wrong
        ? button({ label: "Type another code", onClick: () => (window.location.hash = "#/pair") })
        : nothing}
    </form>`;
  }

  /** The code, scanned or typed. */
  #entry() {
    return html`
      ${this.scanning
        ? html`<scan-view @text-read=${(/** @type {CustomEvent} */ event) =>
            this.#scanned(event.detail)}></scan-view>`
        : button({ label: "Scan the picture at home", icon: "scan",
            onClick: () => (this.scanning = true) })}
      ${textField({ id: "code", label: "Or type the code", value: this.code, maxlength: 20,
        hint: "10 letters and digits, good for 10 minutes.", error: this.wrong,
        onInput: (text) => this.#type(text) })}`;
  }

  /** @param {string} text what the picture says; the code is spent by the person's own tap only */
  #scanned(text) {
    const read = scannedCode(text, window.location.origin);
    this.wrong = "wrong" in read ? read.wrong : "";
    if ("code" in read) {
      this.code = read.code;
      this.scanning = false;
    }
  }

  /** @param {string} text */
  #type(text) {
    this.code = text;
    this.wrong = "";
  }

  /** @param {Event} event */
  async #submit(event) {
    event.preventDefault();
    this.wrong = codeProblem(this.code);
    if (this.wrong || this.busy) return;
    this.busy = true;
    try {
      await pairPhone({
        code: tidyCode(this.code), name: this.name.trim() || this.where.kind,
        replaces: this.household?.device ?? knownHouseholds()[0]?.device,
      });
      window.history.replaceState(null, "", "/#/first-run");
      window.location.reload();
    } catch (error) {
      this.wrong = pairProblem(error);
      this.busy = false;
    }
  }
}

/** @param {string} code */
function homeScreenFirst(code) {
  return html`<div class="stack">
    ${notice({ level: "warn", title: "Add to the home screen first", text: html`<p>On this device
      the app on the home screen keeps its own memory. Adding this page would add the wrong
      one.</p>` })}
    <ol class="stack tight">
      <li>Tap the share button of the browser, then <strong>Add to Home Screen</strong>.</li>
      <li>Open Crestrail from the home screen.</li>
      <li>Type this code there. It has not been used yet.</li>
    </ol>
    ${tagCard({ label: "Code", body: html`<p class="card-label">Code</p>
      <strong class="card-number code">${code}</strong>` })}
  </div>`;
}

customElements.define("screen-pair", PairScreen);
