/**
 * The camera that looks at tags: one stream, kept while it is wanted, stopped when the page hides.
 * A home-screen app may be asked for permission again at each start, so the stream is not opened
 * anew for every scan: leaving the screen for a moment keeps it.
 */

/** How long the stream is kept after the screen was left, in milliseconds. */
export const KEEP_MS = 15_000;

/** @typedef {'none'|'denied'|'in_use'|'insecure'|'trouble'} CameraFailure */

/** What each failure means to the person and what helps. @type {Record<CameraFailure, string>} */
export const FAILURE_WORDS = {
  none: 'This device has no camera that can be used. Pick a picture or type the code.',
  denied:
    'Crestrail may not use the camera. Allow it for this page in the browser’s settings, then ' +
    'try again. Or pick a picture or type the code.',
  in_use:
    'Another app is using the camera. Close it and try again. Or pick a picture or type the code.',
  insecure:
    'The camera needs a secure address (https). Open Crestrail by its own address from the home ' +
    'screen. Or pick a picture or type the code.',
  trouble: 'The camera could not be started. Try again, or pick a picture or type the code.',
};

/** @type {Record<string, CameraFailure>} */
const FAILURES = {
  NotFoundError: 'none',
  DevicesNotFoundError: 'none',
  OverconstrainedError: 'none',
  NotAllowedError: 'denied',
  PermissionDeniedError: 'denied',
  SecurityError: 'insecure',
  NotReadableError: 'in_use',
  TrackStartError: 'in_use',
  AbortError: 'in_use',
};

/**
 * Which failure an error of `getUserMedia` means.
 * @param {unknown} error
 * @returns {CameraFailure}
 */
export function failureOf(error) {
  const name = /** @type {{name?: string}} */ (error)?.name ?? '';
  return FAILURES[name] ?? 'trouble';
}

/** The camera could not be started; `failure` says why, `message` says it in words. */
export class CameraError extends Error {
  /** @param {CameraFailure} failure */
  constructor(failure) {
    super(FAILURE_WORDS[failure]);
    this.name = 'CameraError';
    this.failure = failure;
  }
}

/**
 * @typedef {object} CameraOptions
 * @property {Pick<MediaDevices, 'getUserMedia'>|undefined} mediaDevices absent when not secure
 * @property {boolean} secure whether the page is a secure context
 * @property {(run: () => void, ms: number) => number} setTimer
 * @property {(timer: number) => void} clearTimer
 */

const WISHES = {
  audio: false,
  video: { facingMode: { ideal: 'environment' }, width: { ideal: 1280 }, height: { ideal: 720 } },
};

/** One camera stream, shared by whoever looks through it. */
export class Camera {
  /** @param {CameraOptions} options */
  constructor(options) {
    this.options = options;
    /** @type {MediaStream|null} */
    this.stream = null;
    /** @type {number|null} */
    this.timer = null;
    this.job = 0;
  }

  /**
   * The running stream, opened where it isn't yet.
   * @returns {Promise<MediaStream|null>} null when it was stopped while it was being opened
   * @throws {CameraError}
   */
  async start() {
    this.keep();
    if (this.stream?.getVideoTracks().some((track) => track.readyState === 'live')) {
      return this.stream;
    }
    const { mediaDevices, secure } = this.options;
    if (!secure || !mediaDevices) throw new CameraError('insecure');
    const job = ++this.job;
    const stream = await mediaDevices.getUserMedia(WISHES).catch((error) => {
      throw new CameraError(failureOf(error));
    });
    if (job !== this.job) {
      stopTracks(stream);
      return null;
    }
    this.stream = stream;
    return stream;
  }

  /** Let the stream go soon, unless somebody starts it again before. */
  release() {
    this.keep();
    this.timer = this.options.setTimer(() => this.stop(), KEEP_MS);
  }

  /** Turn the camera off now. */
  stop() {
    this.keep();
    this.job += 1;
    if (this.stream) stopTracks(this.stream);
    this.stream = null;
  }

  /** Call off a release. */
  keep() {
    if (this.timer !== null) this.options.clearTimer(this.timer);
    this.timer = null;
  }
}

/** @param {MediaStream} stream */
function stopTracks(stream) {
  for (const track of stream.getTracks()) track.stop();
}

/** @type {Camera|null} */
let shared = null;

/**
 * The page's one camera; it stops when the page is hidden, so that no other app is kept from it.
 * @returns {Camera}
 */
export function pageCamera() {
  if (shared) return shared;
  const camera = new Camera({
    mediaDevices: navigator.mediaDevices,
    secure: window.isSecureContext,
    setTimer: (run, ms) => window.setTimeout(run, ms),
    clearTimer: (timer) => window.clearTimeout(timer),
  });
  document.addEventListener('visibilitychange', () => {
    if (document.hidden) camera.stop();
  });
  window.addEventListener('pagehide', () => camera.stop());
  shared = camera;
  return camera;
}
