// @ts-check
/// <reference lib="webworker" />
/** The worker of the level "app": style, script and the shell are kept as a whole, of one build. Pages
 * come from the server while it answers; without it the shell shows what the device kept. What waits is
 * sent in the background where the browser offers that. */
import { flush } from './queue.js';

const self_ = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const BASE = new URL('.', location.href).pathname;
const STORE = `axlestand-${BASE}`;
/** How long the server may take to answer with a page, ms. */
const PATIENCE = 4000;

self_.addEventListener('install', (event) => event.waitUntil((async () => {
  const names = await (await fetch(`${BASE}files.json`)).json();
  const store = await caches.open(STORE);
  await store.addAll(names.map((/** @type {string} */ name) => BASE + name));
  await self_.skipWaiting();
})()));

self_.addEventListener('activate', (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith('axlestand-') && name !== STORE) await caches.delete(name);
  await self_.clients.claim();
})()));

self_.addEventListener('fetch', (event) => {
  const { request } = event;
  const at = new URL(request.url);
  if (request.method !== 'GET' || at.origin !== location.origin) return;
  if (at.pathname.startsWith('/a/')) event.respondWith(caches.match(at.pathname).then((kept) => kept ?? fetch(request)));
  else if (request.mode === 'navigate') event.respondWith(page(request));
});

/** @param {Request} request */
async function page(request) {
  try {
    return await fetch(request, { signal: AbortSignal.timeout(PATIENCE) });
  } catch {
    const shell = await caches.match(`${BASE}shell`);
    return shell ?? Response.error();
  }
}

self_.addEventListener('sync', (/** @type {any} */ event) => {
  if (event.tag === 'axlestand-send') event.waitUntil((async () => { while ((await flush()).more); })());
});
