import { LitElement, html, nothing } from '../../vendor/lit/index.js';
import { button } from '../ui/button.js';
import { notice } from '../ui/card.js';
import { CameraError, FAILURE_WORDS, pageCamera } from '../scan/camera.js';
import { Decoder } from '../scan/decoder.js';
import { Reader } from '../scan/reader.js';

/** Between two looks at the camera, in milliseconds: a worn tag takes most of it to read. */
const LOOK_EVERY_MS = 120;

const NOTHING_FOUND =
  'No tag was found in that picture. Take one closer up and straight on, or type the code.';

/**
 * The camera with an aiming square, and a picture instead of it. Fires `text-read` with the text
 * as detail; what it means is for others to say. `paused` keeps the picture and stops reading.
 */
export class ScanView extends LitElement {
  static properties = {
    paused: { type: Boolean },
    state: { state: true },
    failure: { state: true },
    several: { state: true },
    pictureTrouble: { state: true },
  };

  constructor() {
    super();
    this.paused = false;
    /** @type {'starting'|'looking'|'failed'|'off'} */
    this.state = 'starting';
    /** @type {import('../scan/camera.js').CameraFailure} */
    this.failure = 'trouble';
    this.several = false;
    this.pictureTrouble = '';
    this.decoder = new Decoder();
    this.reader = new Reader({
      look: () => this.decoder.readVideo(this.video),
      now: () => performance.now(),
      onText: (text) => this.#say(text),
      onSeveral: () => (this.several = true),
    });
    /** @type {number|undefined} */
    this.timer = undefined;
    this.shown = () => this.#pageShown();
  }

  createRenderRoot() {
    return this;
  }

  connectedCallback() {
    super.connectedCallback();
    document.addEventListener('visibilitychange', this.shown);
    if (this.hasUpdated) this.start();
  }

  firstUpdated() {
    this.start();
  }

  disconnectedCallback() {
    super.disconnectedCallback();
    document.removeEventListener('visibilitychange', this.shown);
    window.clearInterval(this.timer);
    pageCamera().release();
    this.decoder.close();
  }

  /** @param {Map<string, unknown>} changed */
  updated(changed) {
    if (!changed.has('paused')) return;
    if (this.paused) this.reader.pause();
    else this.reader.resume(true);
  }

  /** The element that shows the camera. */
  get video() {
    return /** @type {HTMLVideoElement} */ (this.querySelector('video'));
  }

  /** Turn the camera on, or say why not. */
  async start() {
    if (this.state === 'looking' && pageCamera().stream) return;
    this.state = 'starting';
    try {
      const stream = await pageCamera().start();
      if (!stream || !this.isConnected) return;
      this.video.srcObject = stream;
      await this.video.play().catch(() => {}); // a hidden page may not play; it is shown again later
      if (pageCamera().stream === stream) this.#look(); // else it was hidden meanwhile
    } catch (error) {
      this.failure = error instanceof CameraError ? error.failure : 'trouble';
      this.state = 'failed';
    }
  }

  #look() {
    this.state = 'looking';
    window.clearInterval(this.timer);
    this.timer = window.setInterval(() => this.reader.tick(), LOOK_EVERY_MS);
  }

  #pageShown() {
    if (document.hidden) {
      window.clearInterval(this.timer);
      if (this.state !== 'failed') this.state = 'off';
    } else if (this.state === 'off') {
      this.start();
    }
  }

  /** @param {string} text */
  #say(text) {
    this.several = false;
    this.pictureTrouble = '';
    this.dispatchEvent(new CustomEvent('text-read', { detail: text, bubbles: true }));
  }

  /** @param {Event} event */
  async #picked(event) {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const [picture] = input.files ?? [];
    input.value = '';
    if (!picture) return;
    this.pictureTrouble = '';
    try {
      const texts = await this.decoder.readPicture(picture);
      if (texts.length === 1) this.#say(texts[0]);
      else this.pictureTrouble = texts.length ? severalWords(texts.length) : NOTHING_FOUND;
    } catch {
      this.pictureTrouble = 'That file could not be opened as a picture. Pick another one.';
    }
  }

  render() {
    return html`<div class="scan-view">
      <div class="scan-window" ?hidden=${this.state === 'failed'}>
        <video class="scan-video" playsinline muted aria-label="Camera"></video>
        <div class="scan-aim" aria-hidden="true"></div>
        <p class="scan-hint" role="status">${this.#hint()}</p>
      </div>
      ${this.state === 'failed' ? this.#failed() : nothing}
      <label class="button scan-pick">
        <span>Pick a picture</span>
        <input class="unseen" type="file" accept="image/*" @change=${this.#picked} />
      </label>
      <div role="status">${this.pictureTrouble
        ? notice({ level: 'warn', title: 'Nothing read', text: this.pictureTrouble })
        : nothing}</div>
    </div>`;
  }

  #hint() {
    if (this.state !== 'looking') return 'Starting the camera';
    if (this.paused) return '';
    return this.several
      ? 'Several tags in view: bring one into the square'
      : 'Bring a tag into the square';
  }

  #failed() {
    return notice({
      level: 'warn',
      title: 'No camera',
      text: html`<p>${FAILURE_WORDS[this.failure]}</p>
        ${button({ label: 'Try the camera again', onClick: () => this.start() })}`,
    });
  }
}

/** @param {number} count */
function severalWords(count) {
  return `There are ${count} tags in that picture. Take one of a single tag.`;
}

customElements.define('scan-view', ScanView);
