/* The app's files under one version, served with or without a network. Answers of the API never
   pass through here. A new version waits until a person, or an idle app, lets it take over. */
importScripts('precache.js');

const { name, files } = self.CRESTRAIL_PRECACHE;
const PAGES = /^\/($|pair$|t\/[^/]+$|index\.html$)/;

self.addEventListener('install', (event) => event.waitUntil(fill()));

self.addEventListener('activate', (event) => event.waitUntil(dropOthers()));

self.addEventListener('message', (event) => {
  if (event.data === 'take-over') event.waitUntil(self.skipWaiting());
  if (event.data === 'take-over-if-alone') event.waitUntil(takeOverIfAlone());
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  const own = url.origin === self.location.origin && request.method === 'GET';
  if (!own || url.pathname.startsWith('/api/') || url.pathname === '/api') return;
  if (request.mode === 'navigate' && !PAGES.test(url.pathname)) return;
  event.respondWith(answer(request, request.mode === 'navigate' ? '/index.html' : url.pathname));
});

async function answer(request, path) {
  const cache = await caches.open(name);
  return (await cache.match(path)) ?? fetch(request);
}

async function fill() {
  const cache = await caches.open(name);
  try {
    await Promise.all(files.map((file) => keep(cache, file)));
  } catch (error) {
    await caches.delete(name);
    throw error;
  }
}

async function keep(cache, [url, sha256]) {
  const response = await fetch(url, { cache: 'no-cache' });
  if (!response.ok) throw new Error(`${url}: ${response.status}`);
  const bytes = await response.clone().arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  const hex = Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
  if (hex !== sha256) throw new Error(`${url} is of another version`);
  await cache.put(url, response);
}

async function dropOthers() {
  for (const other of await caches.keys()) if (other !== name) await caches.delete(other);
  await self.clients.claim();
}

async function takeOverIfAlone() {
  const pages = await self.clients.matchAll({ type: 'window', includeUncontrolled: true });
  if (pages.length <= 1) await self.skipWaiting();
}
