import { LitElement, html, nothing } from '../../vendor/lit/index.js';
import { showTagCode } from '../basis/ids.js';
import { checkTyped, likelyMeant } from '../scan/codes.js';
import { button } from '../ui/button.js';
import { field } from '../ui/field.js';

/**
 * The code of a label, typed. The check symbol is looked at as it is typed; `code-typed` is fired
 * with the code as detail when the person goes on.
 */
export class ScanTyped extends LitElement {
  static properties = {
    household: { attribute: false },
    typed: { state: true },
    insisted: { state: true },
  };

  constructor() {
    super();
    /** @type {any} */
    this.household = null;
    this.typed = '';
    this.insisted = false;
  }

  createRenderRoot() {
    return this;
  }

  render() {
    const { code, hint, wrong } = checkTyped(this.typed);
    const meant = wrong ? this.#meant() : [];
    const error = wrong || (this.insisted && !code) ? hint || 'Type the code first.' : undefined;
    const look = {
      id: 'typed-code', label: 'Or type the code', error,
      hint: 'The letters and digits under the pattern; hyphens are left out if you like.',
    };
    return html`<form class="stack tight" @submit=${this.#go} novalidate>
      ${field(look, html`<div class="scan-type">
        <input class="input scan-input code" id="typed-code" type="text" autocomplete="off"
          autocapitalize="characters" autocorrect="off" spellcheck="false" enterkeyhint="go"
          maxlength="20" placeholder="XXXX-XXXX-X" .value=${this.typed}
          aria-describedby="typed-code-hint ${error ? 'typed-code-error' : 'typed-code-count'}"
          aria-invalid=${error ? 'true' : nothing} @input=${this.#type} />
        <button type="submit" class="button go">Find it</button>
      </div>`)}
      <p class="note" id="typed-code-count" role="status">${error ? '' : hint}</p>
      ${meant.length
        ? html`<div class="cluster"><span>Did you mean</span>${meant.map((known) =>
            button({ label: showTagCode(known), onClick: () => this.#say(known) }))}</div>`
        : nothing}
    </form>`;
  }

  /** Known codes that are nearly what was typed. */
  #meant() {
    const tags = /** @type {{code: string}[]} */ (this.household?.all('tag') ?? []);
    return likelyMeant(this.typed, [...new Set(tags.map((tag) => tag.code))]);
  }

  /** @param {Event} event */
  #type(event) {
    this.typed = /** @type {HTMLInputElement} */ (event.target).value;
    this.insisted = false;
  }

  /** @param {Event} event */
  #go(event) {
    event.preventDefault();
    const { code } = checkTyped(this.typed);
    this.insisted = true;
    if (code) this.#say(code);
  }

  /** @param {string} code */
  #say(code) {
    this.typed = '';
    this.insisted = false;
    this.dispatchEvent(new CustomEvent('code-typed', { detail: code, bubbles: true }));
  }
}

customElements.define('scan-typed', ScanTyped);
