import { html, nothing } from '../../vendor/lit/index.js';
import { meaningOf } from '../scan/codes.js';
import { bindTag } from '../state/actions.js';
import { pieceView } from '../state/pieces.js';
import { button } from '../ui/button.js';
import { notice } from '../ui/card.js';
import { radioChips } from '../ui/chips.js';
import { ScreenElement } from '../ui/screen-element.js';
import { showToast } from '../ui/toast.js';
import { pieceName } from './piece-words.js';
import { blankCard, pieceCard, severalCards, strangeCard } from './scan-result.js';
import './scan-stock.js';
import { bindingsOf, findWithTag } from './scan-tags.js';
import './scan-typed.js';
import './scan-view.js';
import './tag-landing.js';

/** @typedef {import('../scan/codes.js').Meaning} Meaning */

const MODES = [
  { value: 'one', label: 'One tag' },
  { value: 'stock', label: 'Stock check' },
];

/** Camera, picked picture or typed code; then what the tag is on and what comes next. */
export class ScreenScan extends ScreenElement {
  static properties = {
    ...ScreenElement.properties,
    mode: { state: true },
    meaning: { state: true },
    trouble: { state: true },
  };

  constructor() {
    super();
    this.mode = 'one';
    /** @type {Meaning|null} what was read last; null while looking */
    this.meaning = null;
    this.trouble = '';
  }

  /** @param {Map<string, unknown>} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    if (!changed.has('route') || !this.household) return;
    const [code] = this.route.parts;
    this.meaning = code ? meaningOf(code, this.#origins()) : null;
  }

  /** Addresses under which this household's tags were or are printed, as far as known here. */
  #origins() {
    return [this.household.origin, window.location.origin].filter(Boolean);
  }

  render() {
    if (!this.household) {
      return html`<screen-tag-landing .route=${this.route}></screen-tag-landing>`;
    }
    const looking = this.mode === 'stock' || !this.meaning;
    return html`<div class="stack">
      ${radioChips({
        name: 'scan-mode', legend: 'What for', options: MODES, value: this.mode,
        onChange: (mode) => Object.assign(this, { mode, meaning: null, trouble: '' }),
      })}
      ${this.meaning && this.mode === 'one' ? this.#result(this.meaning) : nothing}
      <scan-view ?hidden=${!looking} .paused=${!looking}
        @text-read=${(/** @type {CustomEvent} */ event) => this.#read(event.detail)}></scan-view>
      <div role="status">${this.trouble ? notice({ level: 'warn', title: this.trouble }) : nothing}
      </div>
      ${this.mode === 'stock'
        ? html`<scan-stock .household=${this.household}></scan-stock>`
        : nothing}
      <scan-typed ?hidden=${!looking} .household=${this.household}
        @code-typed=${(/** @type {CustomEvent} */ event) => this.#read(event.detail)}></scan-typed>
    </div>`;
  }

  /** @param {Meaning} meaning */
  #result(meaning) {
    return html`<div class="stack" tabindex="-1" id="scan-result">
      ${meaning.kind === 'tag'
        ? this.#tag(meaning.code)
        : strangeCard(meaning, (code) => (this.meaning = { kind: 'tag', code }))}
      ${button({ label: 'Scan the next', icon: 'scan', onClick: () => this.#next() })}
    </div>`;
  }

  /** @param {string} code */
  #tag(code) {
    const views = bindingsOf(this.household, code)
      .map(({ piece }) => pieceView(this.household, piece.id));
    if (views.length > 1) {
      return severalCards(this.household, views, (id) => this.#takeOff(code, id));
    }
    if (views.length === 1) return pieceCard(this.household, views[0]);
    return blankCard(this.household, code, {
      bind: (pieceId) => this.#bind(code, pieceId),
      begin: () => this.#begin(code),
    });
  }

  /** @param {string} text */
  #read(text) {
    const meaning = this.#known(meaningOf(text, this.#origins()));
    if (this.mode === 'one') {
      this.meaning = meaning;
      this.trouble = '';
      this.updateComplete.then(() => this.#resultElement?.focus());
      return;
    }
    if (meaning.kind === 'tag') this.#stock?.take(meaning.code);
    this.trouble = meaning.kind === 'tag' ? this.#stockTrouble() : 'That was no tag of yours.';
  }

  /**
   * A tag that one of our pieces carries is ours, whatever address it was printed under.
   * @param {Meaning} meaning
   * @returns {Meaning}
   */
  #known(meaning) {
    if (meaning.kind !== 'foreign' || !meaning.code) return meaning;
    const ours = bindingsOf(this.household, meaning.code).length > 0;
    return ours ? { kind: 'tag', code: meaning.code } : meaning;
  }

  get #stock() {
    return /** @type {import('./scan-stock.js').ScanStock|null} */ (
      this.querySelector('scan-stock'));
  }

  get #resultElement() {
    return /** @type {HTMLElement|null} */ (this.querySelector('#scan-result'));
  }

  #stockTrouble() {
    return this.#stock?.ready ? '' : 'Choose the spot first.';
  }

  #next() {
    this.meaning = null;
    if (this.route.parts.length) window.location.hash = '#/scan';
  }

  /** @param {string} code @param {string} pieceId */
  async #bind(code, pieceId) {
    const { undo } = await bindTag(this.household, code, pieceId);
    const name = pieceName(this.household, this.household.get('piece', pieceId));
    showToast({ text: `The tag is on ${name} now.`, undo });
  }

  /** @param {string} code @param {string} pieceId */
  async #takeOff(code, pieceId) {
    const changes = this.household.where('tag', 'code', code)
      .filter((/** @type {any} */ tag) => tag.piece_id === pieceId)
      .map((/** @type {any} */ tag) => ({ type: 'tag', id: tag.id, fields: { deleted: true } }));
    const { undo } = await this.household.write(changes);
    showToast({ text: 'The tag was taken off.', undo });
  }

  /** @param {string} code */
  async #begin(code) {
    const { pieceId, undo } = await findWithTag(this.household, code);
    showToast({ text: 'Find saved with this tag.', undo });
    window.location.hash = `#/pieces/${pieceId}`;
  }
}

customElements.define('screen-scan', ScreenScan);
