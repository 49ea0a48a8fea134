import { html, nothing } from '../../vendor/lit/index.js';
import { allPieces } from '../state/pieces.js';
import { badge } from '../ui/card.js';
import { textField } from '../ui/field.js';
import { ScreenElement } from '../ui/screen-element.js';
import { ageWords, countWords } from '../ui/words.js';
import './piece-photo.js';
import { STAGE_TONES, STAGE_WORDS, matches, pieceName } from './piece-words.js';

/** @typedef {import('../state/pieces.js').PieceView} PieceView */

/** So many candidates are shown before a search narrows them. */
const SHOWN = 8;

const BINDABLE = new Set([
  'seen', 'to_fetch', 'bought', 'in_work', 'ready', 'listed', 'on_hold', 'kept', 'passed',
]);

/**
 * Which piece a blank tag goes on: pieces without a tag first, the newest first. Fires
 * `piece-chosen` with the id as detail.
 */
export class ScanBind extends ScreenElement {
  static properties = { ...ScreenElement.properties, typed: { state: true } };

  constructor() {
    super();
    this.typed = '';
  }

  /** @returns {PieceView[]} */
  found() {
    const typed = this.typed.trim();
    return allPieces(this.household)
      .filter((view) => BINDABLE.has(view.stage) && (!typed || matches(typed, this.#texts(view))))
      .sort((a, b) => rank(a) - rank(b) || (a.piece.at < b.piece.at ? 1 : -1));
  }

  /** @param {PieceView} view */
  #texts({ piece }) {
    return [pieceName(this.household, piece), piece.kind ?? '', piece.note ?? ''];
  }

  render() {
    const views = this.found();
    const more = views.length - SHOWN;
    return html`<div class="stack tight">
      ${views.length > SHOWN || this.typed
        ? textField({
            id: 'bind-search', label: 'Search your pieces', type: 'search', value: this.typed,
            onInput: (value) => (this.typed = value),
          })
        : nothing}
      <ul class="rows" role="list">
        ${views.slice(0, SHOWN).map((view) => html`<li>${this.#row(view)}</li>`)}
      </ul>
      ${views.length ? nothing : html`<p class="soft">No piece of that name.</p>`}
      ${more > 0
        ? html`<p class="note">${countWords(more, 'more piece')}: search by name.</p>`
        : nothing}
    </div>`;
  }

  /** @param {PieceView} view */
  #row({ piece, stage, photos, tag }) {
    const name = pieceName(this.household, piece);
    return html`<button type="button" class="row scan-choose" @click=${() => this.#choose(piece.id)}>
      <piece-photo .household=${this.household} sha256=${photos[0]?.sha256 ?? ''} alt="">
      </piece-photo>
      <span class="row-text">
        <span class="row-title">${name}</span>
        <span class="note">${ageWords(piece.at, this.household.now())}${tag
          ? ', has a tag already' : ''}</span>
      </span>
      <span class="row-end">${badge(STAGE_WORDS[stage], STAGE_TONES[stage] ?? '')}</span>
    </button>`;
  }

  /** @param {string} id */
  #choose(id) {
    this.dispatchEvent(new CustomEvent('piece-chosen', { detail: id, bubbles: true }));
  }
}

/** @param {PieceView} view pieces in hand without a tag, then finds, then what has one already */
function rank({ stage, tag }) {
  if (tag) return 2;
  return stage === 'passed' ? 1 : 0;
}

customElements.define('scan-bind', ScanBind);
