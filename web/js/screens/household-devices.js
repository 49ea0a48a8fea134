import { html, nothing } from "../../vendor/lit/index.js";
import { button } from "../ui/button.js";
import { badge, notice, tagCard } from "../ui/card.js";
import { textField } from "../ui/field.js";
import { ScreenElement } from "../ui/screen-element.js";
import { showToast } from "../ui/toast.js";
import { ageWords } from "../ui/words.js";

/** @typedef {{id: string, name: string, seen_at: string|null, revoked_at: string|null, this: boolean}} Device */

/** The phones and computers of the household: add one by code, rename, remove. Needs home. */
export class HouseholdDevices extends ScreenElement {
  static properties = {
    ...ScreenElement.properties,
    devices: { state: true }, code: { state: true }, trouble: { state: true }, renaming: { state: true },
  };

  constructor() {
    super();
    /** @type {Device[] | null} */
    this.devices = null;
    /** @type {{code: string, url: string, expires_at: string, qr: string} | null} */
    this.code = null;
    this.trouble = "";
    /** @type {{id: string, name: string} | null} */
    this.renaming = null;
  }

  connectedCallback() {
    super.connectedCallback();
    this.load();
  }

  async load() {
    await this.ask(async () => {
      this.devices = (await this.household.api("/api/devices")).devices;
    });
  }

  /** @param {() => Promise<void>} work with home; when home is away that is said */
  async ask(work) {
    try {
      this.trouble = "";
      await work();
    } catch (error) {
      this.trouble = /** @type {any} */ (error).code
        ? /** @type {Error} */ (error).message
        : "Home doesn't answer. The list of phones is kept there; try again when you are home.";
    }
  }

  render() {
    return html`<div class="stack">
      ${this.trouble ? notice({ level: "warn", title: this.trouble }) : nothing}
      ${this.code ? this.codeCard(this.code) : nothing}
      <div class="cluster">
        ${button({ label: "Add a phone", icon: "phone", kind: "go", onClick: () => this.add() })}
      </div>
      ${this.devices ? this.list(this.devices) : nothing}
    </div>`;
  }

  /** @param {{code: string, url: string, qr: string}} code */
  codeCard({ code, url, qr }) {
    const picture = `data:image/svg+xml,${encodeURIComponent(qr)}`;
    return tagCard({
      label: "Pairing code",
      body: html`<div class="stack tight">
        <p class="card-label">For ten minutes, for one phone</p>
        <p class="pair-code code">${code}</p>
        <img class="pair-qr" src=${picture} alt="The same as a picture to scan: ${url}" />
        <ol>
          <li>On an iPhone: open ${new URL(url).origin} in its browser, add it to the home screen, open it from there.</li>
          <li>In Crestrail on that phone, scan this picture or type the code.</li>
        </ol>
      </div>`,
    });
  }

  /** @param {Device[]} devices */
  list(devices) {
    return html`<ul class="rows" role="list">
      ${devices.map((device) => html`<li class="device">${this.line(device)}</li>`)}
    </ul>`;
  }

  /** @param {Device} device */
  line(device) {
    if (this.renaming?.id === device.id) return this.renameForm(this.renaming);
    const seen = device.seen_at ? ageWords(device.seen_at, this.household.now()) : "never";
    return html`<div class="spread">
      <span><strong>${device.name}</strong>
        ${device.this ? badge("this one", "pine") : nothing}
        ${device.revoked_at ? badge("removed", "oxblood") : nothing}
        <span class="note">seen ${seen}</span></span>
      ${device.revoked_at ? nothing : html`<span class="cluster">
        ${button({
          label: "Rename", kind: "quiet",
          onClick: () => (this.renaming = { id: device.id, name: device.name }),
        })}
        ${device.this ? nothing
          : button({ label: "Remove", kind: "danger", onClick: () => this.takeAway(device) })}
      </span>`}
    </div>`;
  }

  /** @param {{id: string, name: string}} renaming */
  renameForm(renaming) {
    return html`${textField({
      id: "device-name", label: "Name of this phone", value: renaming.name, maxlength: 60,
      onInput: (name) => (this.renaming = { ...renaming, name }),
    })}
    <div class="cluster">
      ${button({ label: "Save the name", kind: "go", onClick: () => this.rename(renaming) })}
      ${button({ label: "Leave it", onClick: () => (this.renaming = null) })}
    </div>`;
  }

  async add() {
    await this.ask(async () => {
      this.code = await this.household.api("/api/pairing-codes", { method: "POST", json: {} });
    });
  }

  /** @param {{id: string, name: string}} renaming */
  async rename({ id, name }) {
    await this.ask(async () => {
      await this.household.api(`/api/devices/${id}`, { method: "PATCH", json: { name } });
      this.renaming = null;
      await this.load();
    });
  }

  /** @param {Device} device */
  async takeAway(device) {
    await this.ask(async () => {
      await this.household.api(`/api/devices/${device.id}`, { method: "DELETE" });
      await this.load();
      showToast({ text: `${device.name} is removed. It keeps its unsent work and can hand it over as a file; a new code adds it again.` });
    });
  }
}

customElements.define("household-devices", HouseholdDevices);
