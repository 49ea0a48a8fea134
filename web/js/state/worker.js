const CHECK_MS = 60 * 60_000;

/**
 * Register the service worker and watch for a new version, which is never taken over under a
 * person's hands.
 * @param {(apply: () => void) => void} onWaiting a new version waits; `apply` starts it
 * @returns {Promise<void>}
 */
export async function startWorker(onWaiting) {
  const { serviceWorker } = navigator;
  if (!serviceWorker) return;
  let controlled = Boolean(serviceWorker.controller);
  serviceWorker.addEventListener('controllerchange', () => {
    if (controlled) location.reload();
    controlled = true;
  });
  const registration = await serviceWorker.register('/sw.js', { updateViaCache: 'none' });
  const tell = () => {
    const { waiting } = registration;
    if (waiting && serviceWorker.controller) onWaiting(() => waiting.postMessage('take-over'));
  };
  tell();
  registration.addEventListener('updatefound', () => {
    registration.installing?.addEventListener('statechange', tell);
  });
  setInterval(() => void registration.update().catch(() => {}), CHECK_MS);
}

/** Nothing is half-typed and nobody looks: a new version may start if this is the only page. */
export async function takeOverWhenIdle() {
  const registration = await navigator.serviceWorker?.getRegistration();
  registration?.waiting?.postMessage('take-over-if-alone');
}
