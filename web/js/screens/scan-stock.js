import { html, nothing } from '../../vendor/lit/index.js';
import { showTagCode } from '../basis/ids.js';
import { compareStock, outcomeOf } from '../scan/stock.js';
import { allPieces } from '../state/pieces.js';
import { button } from '../ui/button.js';
import { emptyState } from '../ui/card.js';
import { selectField } from '../ui/field.js';
import { icon } from '../ui/icons.js';
import { ScreenElement } from '../ui/screen-element.js';
import { showToast } from '../ui/toast.js';
import { countWords } from '../ui/words.js';
import { pieceName } from './piece-words.js';
import { pieceByCode } from './scan-tags.js';

/** @typedef {import('../scan/stock.js').StockCheck} StockCheck */

/** How long the full-screen sign of one scan stands, in milliseconds. */
export const FLASH_MS = 900;

const DRAFT = 'stock-check';
const STANDING = new Set(['bought', 'in_work', 'ready', 'listed', 'on_hold', 'kept']);

const SIGNS = /** @type {const} */ ({
  found: { icon: 'check', words: 'stands here' },
  elsewhere: { icon: 'warn', words: 'belongs elsewhere' },
  unbound: { icon: 'note', words: 'on no piece yet' },
  again: { icon: 'check', words: 'counted already' },
});

/**
 * Scan everything in a spot and set it beside what should stand there. A sign over the whole
 * screen and a count answer each scan: phones may be mute and not all of them can shake.
 * The owner passes codes to `take`; what was scanned survives a closed page.
 */
export class ScanStock extends ScreenElement {
  static properties = {
    ...ScreenElement.properties,
    spotId: { state: true },
    scanned: { state: true },
    flash: { state: true },
  };

  constructor() {
    super();
    this.spotId = '';
    /** @type {string[]} codes in the order they were scanned */
    this.scanned = [];
    /** @type {{kind: keyof typeof SIGNS, name: string}|null} */
    this.flash = null;
    /** @type {number|undefined} */
    this.timer = undefined;
  }

  async firstUpdated() {
    const draft = await this.household.draft(DRAFT);
    if (draft && !this.spotId) Object.assign(this, draft);
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    window.clearTimeout(this.timer);
    this.flash = null;
  }

  /** Whether a spot was chosen, so that scans count. */
  get ready() {
    return Boolean(this.spotId);
  }

  /** @param {string[]} scanned @returns {StockCheck} */
  check(scanned) {
    const pieces = allPieces(this.household)
      .filter((view) => STANDING.has(view.stage)).map((view) => view.piece);
    const pieceOf = pieceByCode(this.household);
    return compareStock({ spotId: this.spotId, pieces, pieceOf, scanned });
  }

  /**
   * Count a scanned code.
   * @param {string} code
   */
  take(code) {
    if (!this.ready) return;
    const scanned = [...this.scanned, code];
    const kind = outcomeOf(this.check(this.scanned), this.check(scanned));
    const pieceId = pieceByCode(this.household).get(code);
    this.#show(kind, pieceId ? this.#name(pieceId) : showTagCode(code));
    if (kind !== 'again') this.#keep({ spotId: this.spotId, scanned });
  }

  /**
   * @param {keyof typeof SIGNS} kind
   * @param {string} name
   */
  #show(kind, name) {
    this.flash = { kind, name };
    window.clearTimeout(this.timer);
    this.timer = window.setTimeout(() => (this.flash = null), FLASH_MS);
  }

  /** @param {{spotId: string, scanned: string[]}} draft */
  #keep(draft) {
    Object.assign(this, draft);
    this.household.saveDraft(DRAFT, draft.spotId ? draft : null);
    this.dispatchEvent(new CustomEvent('stock-changed', { bubbles: true }));
  }

  /** @param {string} id */
  #name(id) {
    const piece = this.household.get('piece', id);
    return piece ? pieceName(this.household, piece) : 'A piece';
  }

  render() {
    const spots = this.household?.all('spot') ?? [];
    if (!spots.length) return noSpots();
    const look = {
      id: 'stock-spot', label: 'Which spot?', value: this.spotId,
      options: [{ value: '', label: 'Choose a spot' },
        ...spots.map((/** @type {any} */ spot) => ({ value: spot.id, label: spot.name }))],
      onChange: (/** @type {string} */ spotId) => this.#keep({ spotId, scanned: [] }),
    };
    return html`<div class="stack">
      ${selectField(look)}
      ${this.ready ? this.#results() : html`<p class="soft">Choose where you stand, then scan every
        tag you see there.</p>`}
    </div>
    ${this.flash ? this.#flash() : nothing}`;
  }

  #results() {
    const found = this.check(this.scanned);
    return html`<p class="scan-tally" role="status">${tally(found)}</p>
      ${this.#list('Missing so far', found.missing)}
      ${this.#list('Belongs elsewhere', found.elsewhere)}
      ${found.elsewhere.length
        ? button({
            label: `Let ${countWords(found.elsewhere.length, 'piece')} stand here from now on`,
            onClick: () => this.#move(found.elsewhere),
          })
        : nothing}
      ${this.#list('Should stand here, but has no tag', found.untagged)}
      ${found.unbound.length
        ? html`<div><h2>Tags on no piece</h2><p class="code">${
            found.unbound.map(showTagCode).join(', ')}</p></div>`
        : nothing}
      ${this.#list('Found', found.found)}
      ${button({ label: 'Finish the check', kind: 'quiet', onClick: () => this.#finish() })}`;
  }

  /**
   * @param {string} title
   * @param {string[]} ids
   */
  #list(title, ids) {
    if (!ids.length) return nothing;
    return html`<div><h2>${title} (${ids.length})</h2>
      <ul class="rows" role="list">${ids.map((id) => html`<li>
        <a class="row" href="#/pieces/${id}"><span class="row-text">
          <span class="row-title">${this.#name(id)}</span>
          <span class="note">${this.#spotOf(id)}</span></span></a></li>`)}</ul></div>`;
  }

  /** @param {string} id the spot a piece should stand in, if that is another one */
  #spotOf(id) {
    const spotId = this.household.get('piece', id)?.spot_id;
    if (spotId === this.spotId) return '';
    return spotId ? `in ${this.household.get('spot', spotId)?.name ?? 'another spot'}`
      : 'no spot said';
  }

  #flash() {
    const { kind, name } = /** @type {{kind: keyof typeof SIGNS, name: string}} */ (this.flash);
    const { found, missing } = this.check(this.scanned);
    return html`<div class="scan-flash ${kind}" aria-hidden="true">
      ${icon(SIGNS[kind].icon)}
      <span class="scan-flash-count">${found.length} of ${found.length + missing.length}</span>
      <span class="scan-flash-words">${name}: ${SIGNS[kind].words}</span>
    </div>
    <p class="unseen" role="status">${name}: ${SIGNS[kind].words}</p>`;
  }

  /** @param {string[]} ids */
  async #move(ids) {
    const spot = this.household.get('spot', this.spotId);
    const changes = ids.map((id) => ({ type: 'piece', id, fields: { spot_id: this.spotId } }));
    const { undo } = await this.household.write(changes);
    showToast({ text: `${countWords(ids.length, 'piece')} moved to ${spot?.name}`, undo });
  }

  #finish() {
    const { spotId, scanned } = this;
    const found = this.check(scanned);
    this.#keep({ spotId: '', scanned: [] });
    showToast({
      text: `Checked: ${tally(found)}`, undo: async () => this.#keep({ spotId, scanned }),
    });
  }
}

/** @param {StockCheck} check */
function tally({ found, missing, elsewhere }) {
  const here = `${found.length} of ${found.length + missing.length} found`;
  return elsewhere.length ? `${here}, ${elsewhere.length} from elsewhere` : here;
}

function noSpots() {
  return emptyState({
    icon: 'pin', title: 'No spots yet',
    text: 'Name the places where pieces stand, such as “garage, left wall”; then a check says ' +
      'what is missing.',
    action: html`<a class="button" href="#/household">Add spots</a>`,
  });
}

customElements.define('scan-stock', ScanStock);
