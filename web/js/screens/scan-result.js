import { html, nothing } from '../../vendor/lit/index.js';
import { showTagCode } from '../basis/ids.js';
import { button } from '../ui/button.js';
import { badge, notice, tagCard } from '../ui/card.js';
import { nextOf, nextStep } from './piece-next.js';
import './piece-photo.js';
import { STAGE_TONES, STAGE_WORDS, pieceName } from './piece-words.js';
import './scan-bind.js';

/** @typedef {import('../scan/codes.js').Meaning} Meaning */
/** @typedef {import('../state/pieces.js').PieceView} PieceView */

/**
 * A piece that carries the tag: what it is, where it should stand, what comes next.
 * @param {any} household
 * @param {PieceView} view
 */
export function pieceCard(household, view) {
  const { piece, stage, photos } = view;
  const spot = piece.spot_id ? household.get('spot', piece.spot_id)?.name : null;
  const name = pieceName(household, piece);
  const page = `#/pieces/${piece.id}`;
  return tagCard({
    label: name,
    body: html`<div class="scan-piece">
        <piece-photo .household=${household} sha256=${photos[0]?.sha256 ?? ''} alt=""></piece-photo>
        <h2>${name}</h2>
        <p>${badge(STAGE_WORDS[stage], STAGE_TONES[stage] ?? '')}
          <span class="note">${spot ? `stands in ${spot}` : 'no spot said'}</span></p>
      </div>
      <hr class="card-fold" />
      <div class="buttons">
        ${nextOf(view)}
        <a class=${nextStep(view) ? 'button' : 'button go'} href=${page}>Open the piece</a>
      </div>`,
  });
}

/**
 * Two phones bound one blank tag apart: both pieces stand there until a person says which it is.
 * @param {any} household
 * @param {PieceView[]} views
 * @param {(pieceId: string) => void} takeOff
 */
export function severalCards(household, views, takeOff) {
  return html`${notice({
    level: 'warn',
    title: `This tag is bound to ${views.length} pieces`,
    text: 'Look which piece it is on, and take it off the other.',
  })}
  ${views.map((view) => html`<div class="stack tight">
    ${pieceCard(household, view)}
    ${button({
      label: `Take the tag off ${pieceName(household, view.piece)}`,
      onClick: () => takeOff(view.piece.id),
    })}
  </div>`)}`;
}

/**
 * A good code that no piece has: put it on one, or begin a find with it.
 * @param {any} household
 * @param {string} code
 * @param {{bind: (pieceId: string) => void, begin: () => void}} on
 */
export function blankCard(household, code, { bind, begin }) {
  return html`${tagCard({
    label: 'Blank tag',
    body: html`<p class="card-label">A tag that is on no piece yet</p>
      <p class="scan-code code">${showTagCode(code)}</p>
      <hr class="card-fold" />
      <div class="buttons">
        ${button({ label: 'New find with this tag', kind: 'go', icon: 'plus', onClick: begin })}
      </div>`,
  })}
  <h2>Or put it on a piece</h2>
  <scan-bind .household=${household}
    @piece-chosen=${(/** @type {CustomEvent} */ event) => bind(event.detail)}></scan-bind>`;
}

/**
 * What was read is no tag of this household.
 * @param {Exclude<Meaning, {kind: 'tag'}>} meaning
 * @param {(code: string) => void} accept takes a tag's code although its address is another
 */
export function strangeCard(meaning, accept) {
  if (meaning.kind === 'damaged') {
    return notice({
      level: 'warn',
      title: 'That tag could not be read right',
      text: `${meaning.reason}. Scan it again, or type the code under the pattern.`,
    });
  }
  if (meaning.kind === 'pairing') {
    return notice({
      level: 'note',
      title: 'That adds a phone, it is no tag',
      text: 'This phone belongs to a household already. Scan it with the phone to be added.',
    });
  }
  return foreignCard(meaning, accept);
}

/**
 * @param {import('../scan/codes.js').ForeignMeaning} meaning
 * @param {(code: string) => void} accept
 */
function foreignCard({ host, code }, accept) {
  const from = host ? `It leads to ${host}.` : 'It holds some other text.';
  return notice({
    level: 'warn',
    title: 'Not a tag of this household',
    text: html`<p>${from} Crestrail has not opened it.</p>
      ${code
        ? html`<p>If it is a label of yours from before your address changed, its code still
            holds.</p>
          ${button({ label: `Use the code ${showTagCode(code)}`, onClick: () => accept(code) })}`
        : nothing}`,
  });
}
