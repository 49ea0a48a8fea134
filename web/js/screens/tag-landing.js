import { html, nothing } from '../../vendor/lit/index.js';
import { showTagCode } from '../basis/ids.js';
import { meaningOf } from '../scan/codes.js';
import { notice, tagCard } from '../ui/card.js';
import { ScreenElement } from '../ui/screen-element.js';

/**
 * What a tag shows where no household is on this phone, or in a browser tab that the phone's own
 * camera app opened: the code in letters as large as they go, and where it is of use.
 */
export class ScreenTagLanding extends ScreenElement {
  render() {
    const [typed = ''] = this.route.parts;
    const meaning = typed ? meaningOf(typed, []) : null;
    return html`<div class="stack">
      ${meaning ? codeCard(meaning, typed) : nothing}
      ${meaning
        ? notice({
            level: 'note',
            title: 'Open Crestrail from your home screen',
            text: 'Then scan this tag there, or type its code. A phone’s camera app opens a page ' +
              'of its own that knows nothing of your pieces.',
          })
        : nothing}
      <p>This browser has no household on it.</p>
      <a class="button" href="/#/pair">Add this phone to a household</a>
    </div>`;
  }
}

/**
 * @param {import('../scan/codes.js').Meaning} meaning
 * @param {string} typed
 */
function codeCard(meaning, typed) {
  return meaning.kind === 'tag'
    ? tagCard({
        label: 'Tag',
        body: html`<p class="card-label">This tag’s code</p>
          <p class="scan-code code">${showTagCode(meaning.code)}</p>`,
      })
    : tagCard({
        label: 'Tag',
        tone: 'note',
        body: html`<p class="card-label">This is not a tag’s code</p>
          <p class="scan-code code">${typed.slice(0, 20)}</p>
          <p>${meaning.kind === 'damaged' ? meaning.reason : 'A code has 9 letters and digits.'}</p>`,
      });
}

customElements.define('screen-tag-landing', ScreenTagLanding);
