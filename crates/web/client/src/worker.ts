// The service worker of a bench's tablet: with no network the run sheet, its plates and all assets
// still open, and what is kept goes out when the network is back, with no page open too.

import { sendAll } from './bench/sending';
import { channel, clock, dayOf, keepFact } from './bench/store';
import { ASSETS, PAGES, isKept } from './bench/shelves';

declare const self: ServiceWorkerGlobalScope;

/** So long a page may keep us waiting when we have it here. */
const PATIENCE_MS = 5_000;
/** Whoever leaves or changes over takes the bench's pages off this tablet. What is not sent stays. */
const LEAVING = new Set(['/sign-out', '/wear', '/try-as']);

self.addEventListener('install', () => void self.skipWaiting());
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));
self.addEventListener('sync', (event) => (event as ExtendableEvent).waitUntil(sentOrAgain()));

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method === 'POST' && LEAVING.has(url.pathname)) event.waitUntil(caches.delete(PAGES));
  if (request.method !== 'GET') return;
  if (url.pathname.startsWith('/assets/')) event.respondWith(asset(request));
  else if (isKept(url.pathname)) event.respondWith(page(event, url));
  else if (request.mode === 'navigate') event.respondWith(fetch(request).catch(elsewhere));
});

/** The browser tries again by its own rule when this fails. */
async function sentOrAgain(): Promise<void> {
  if ((await sendAll(false)) === 'no-network') throw new Error('no network');
}

/** Files whose address changes with their content: what is here is right. */
async function asset(request: Request): Promise<Response> {
  const shelf = await caches.open(ASSETS);
  const held = await shelf.match(request);
  if (held) return held;
  const answer = await fetch(request);
  if (answer.ok) await shelf.put(request, answer.clone());
  return answer;
}

/** From the server, else as it was last. */
async function page(event: FetchEvent, url: URL): Promise<Response> {
  const shelf = await caches.open(PAGES);
  const key = url.pathname + url.search;
  const held = await shelf.match(await nowadays(url));
  try {
    const asked = fetch(event.request);
    const waits = held && event.request.mode === 'navigate';
    const answer = await (waits ? Promise.race([asked, late()]) : asked);
    if (held && answer.status > 501) return fromHere(held);
    if (answer.status === 200 && !answer.redirected) event.waitUntil(kept(shelf, key, answer.clone()));
    return answer;
  } catch {
    return held ? fromHere(held) : elsewhere();
  }
}

/** Open pages are told that what they get is not news. */
function fromHere(held: Response): Response {
  channel.postMessage('held');
  return held;
}

function late(): Promise<never> {
  return new Promise((_, reject) => setTimeout(() => reject(new Error('late')), PATIENCE_MS));
}

/** A sheet without a day is today's, also tomorrow. */
async function nowadays(url: URL): Promise<string> {
  if (!/^\/run-sheets\/[^/]+$/.test(url.pathname) || url.search) return url.pathname + url.search;
  return `${url.pathname}?day=${await dayOf(await clock())}`;
}

/** Keeps a page, and the server's clock with it if it says it. */
async function kept(shelf: Cache, key: string, answer: Response): Promise<void> {
  const received = Date.now();
  if (key.startsWith('/run-sheets/')) {
    const says = / data-now="(\d+)" data-day="([\d-]+)" data-zone="([^"]+)"/.exec(await answer.clone().text());
    if (says) {
      await keepFact('ahead', Number(says[1]) - received);
      await keepFact('zone', says[3] ?? '');
      await shelf.put(`${key.split('?')[0]}?day=${says[2]}`, answer.clone());
    }
  }
  await shelf.put(key, answer);
}

/** Any other page: to the sheet, if there is one here. */
async function elsewhere(): Promise<Response> {
  const shelf = await caches.open(PAGES);
  for (const { url } of await shelf.keys()) {
    const { pathname } = new URL(url);
    if (/^\/run-sheets\/[^/]+$/.test(pathname)) return Response.redirect(pathname);
  }
  return Response.error();
}
