/**
 * Call `go` whenever home may have become reachable. None of these events can be relied on, so
 * the engine's own timer runs beside them.
 * @param {AbortSignal} signal ends it
 * @param {() => void} go
 */
export function listen(signal, go) {
  const visible = () => {
    if (document.visibilityState === 'visible') go();
  };
  document.addEventListener('visibilitychange', visible, { signal });
  for (const name of ['online', 'pageshow', 'focus']) {
    globalThis.addEventListener(name, go, { signal });
  }
}
