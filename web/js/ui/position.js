/** Where the phone is; works without a network on phones that have a receiver of their own. */

const WAIT_MS = 15_000;

/**
 * Latitude and longitude in degrees; null where the phone does not know or may not say.
 * @returns {Promise<[number, number] | null>}
 */
export function whereAmI() {
  if (!("geolocation" in navigator)) return Promise.resolve(null);
  return new Promise((resolve) => {
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => resolve([coords.latitude, coords.longitude]),
      () => resolve(null),
      { enableHighAccuracy: false, timeout: WAIT_MS, maximumAge: 0 },
    );
  });
}
