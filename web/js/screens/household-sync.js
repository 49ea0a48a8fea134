import { html, nothing } from "../../vendor/lit/index.js";
import { isLasting } from "../state/keeping.js";
import { button } from "../ui/button.js";
import { notice } from "../ui/card.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { ageWords, countWords } from "../ui/words.js";
import "./household-pictures.js";
import { valueWords } from "./look-words.js";
import { whereWeAre } from "./pair-words.js";

/** What is not yet at home and since when; sending now; files to carry by hand. */
export class HouseholdSync extends ScreenElement {
  static properties = {
    ...ScreenElement.properties, refused: { state: true }, busy: { state: true },
    lasting: { state: true },
  };

  constructor() {
    super();
    /** @type {any[]} */
    this.refused = [];
    this.busy = "";
    /** whether the browser keeps what is stored here, as far as is known */
    this.lasting = true;
  }

  connectedCallback() {
    super.connectedCallback();
    this.loadRefused();
    this.askLasting();
  }

  async askLasting() {
    const { matches } = window.matchMedia("(display-mode: standalone)");
    const { installed } = whereWeAre(/** @type {any} */ (window.navigator), matches);
    this.lasting = installed || (await isLasting());
  }

  /** @param {Set<string>} types */
  recordsChanged(types) {
    if (types.has("refused")) this.loadRefused();
    super.recordsChanged(types);
  }

  async loadRefused() {
    this.refused = (await this.household?.refused?.()) ?? [];
  }

  render() {
    const { household } = this;
    if (!household) return nothing;
    const { sync } = household;
    return html`<div class="stack">
      <dl class="facts">
        <dt>Changes not yet at home</dt><dd class="figure">${sync.unsent}</dd>
        <dt>Photos not yet at home</dt><dd class="figure">${sync.photosUnsent}</dd>
        <dt>Oldest of them</dt>
        <dd>${sync.oldestUnsentAt
          ? ageWords(new Date(sync.oldestUnsentAt), household.now()) : "nothing waits"}</dd>
        <dt>Everything was home</dt>
        <dd>${sync.lastHomeAt ? ageWords(new Date(sync.lastHomeAt), household.now()) : "not yet"}</dd>
        <dt>Home's address</dt><dd>${household.origin || location.origin}</dd>
      </dl>
      ${sync.message ? notice({ level: "warn", title: sync.message }) : nothing}
      ${!this.lasting && sync.unsent + sync.photosUnsent
        ? notice({
            level: "warn", title: "What is not yet at home may get lost",
            text: "The browser may clear this app's data after some days without use. Send it home soon, or add Crestrail to the home screen.",
          })
        : nothing}
      <div class="cluster">
        ${button({ label: "Send now", icon: "send", kind: "go", onClick: () => this.send() })}
      </div>
      ${this.refused.length ? this.refusedList() : nothing}
      <household-pictures .household=${household}></household-pictures>
      ${this.files()}
      ${notice({
        level: "note", title: "If this phone is lost",
        text: "Names and addresses on it are not locked away by Crestrail: use the phone's own lock. Removing it at home stops it from reading anything new, it does not erase the phone.",
      })}
    </div>`;
  }

  files() {
    return html`<section class="stack tight">
      <h2>Files to carry</h2>
      <p>For a dead laptop or a changed address: everything on this phone, in one file.</p>
      <div class="cluster">
        ${button({
          label: this.busy || "Save everything on this phone to a file", icon: "home",
          disabled: Boolean(this.busy), onClick: () => this.save(),
        })}
      </div>
      <label class="field"><span>Bring a file home</span>
        <input class="input" type="file" @change=${this.bring} /></label>
    </section>`;
  }

  refusedList() {
    return html`<section class="stack tight">
      <h2>Not accepted at home</h2>
      <p>Kept here and at home, with the reason. Nothing was thrown away: write it again as it
        should be, then take it off this list; home keeps it.</p>
      <ul class="rows" role="list">
        ${this.refused.map((one) => html`<li class="panel stack tight">
          <p><strong>${one.change.type.replaceAll("_", " ")}</strong>: ${
            valueWords(this.household, one.change.fields ?? {}, one.change.type)}</p>
          <p class="note">Home says: ${one.message || one.code}</p>
          <div class="cluster">${button({
            label: "I have seen to it", onClick: () => this.household.settleRefused(one.key),
          })}</div>
        </li>`)}
      </ul>
    </section>`;
  }

  async send() {
    await this.household.syncNow();
    const { unsent, photosTroubled, message } = this.household.sync;
    const home = photosTroubled
      ? `Everything is at home but ${countWords(photosTroubled, "photo")}; see below.` : "Everything is at home.";
    showToast({ text: unsent ? message || `Still ${countWords(unsent, "change")} to send.` : home });
  }

  async save() {
    this.busy = "Gathering…";
    try {
      const blob = await this.household.saveEverything();
      const link = document.createElement("a");
      link.href = URL.createObjectURL(blob);
      link.download = `crestrail-${this.household.today()}.jsonl`;
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    } finally {
      this.busy = "";
    }
  }

  /** @param {Event} event */
  async bring(event) {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    if (!file) return;
    try {
      showToast({ text: broughtWords(await this.household.bringHome(file)) });
    } catch (error) {
      showToast({ text: /** @type {Error} */ (error).message });
    } finally {
      input.value = "";
    }
  }
}

/** @param {import("../state/rescue.js").Brought} brought */
function broughtWords({ changes, photos, refused, drafts, left }) {
  return [
    `Took in ${countWords(changes, "change")} and ${countWords(photos, "photo")}.`,
    refused ? `${countWords(refused, "change")} that home had refused stands below.` : "",
    drafts ? "What was half-typed is back on its screen." : "",
    left ? "What was half-typed there stays in the file: the same is being typed here." : "",
  ].filter(Boolean).join(" ");
}

customElements.define("household-sync", HouseholdSync);
