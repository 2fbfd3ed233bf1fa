// Puts on the tablet what a day without network takes: today's and tomorrow's sheet, their plates with
// plan view and file, the forms for trouble, and all assets.

import { UNASKED } from '../unasked';
import { ASSETS, PAGES } from './shelves';
import { clock, dayOf, fact, keepFact } from './store';

/** What has changed is fetched again, but not more often than this. */
const REST_MS = 5 * 60_000;
const DAY_MS = 24 * 3_600_000;

/** Registers the worker and fills the shelves. `code` is the bench's. */
export async function keep(code: string): Promise<void> {
  if (!('serviceWorker' in navigator)) return;
  const sheet = document.querySelector<HTMLElement>('#sheet');
  // Not yet under the worker, so that this page is fresh; later the worker sees to the clock.
  if (!navigator.serviceWorker.controller && sheet) {
    await keepFact('ahead', Number(sheet.dataset['now']) - Date.now());
    await keepFact('zone', sheet.dataset['zone'] ?? '');
  }
  await navigator.serviceWorker.register('/worker.js');
  await navigator.serviceWorker.ready;
  // Without this a browser short of room may throw our store away.
  await navigator.storage?.persist?.().catch(() => false);
  await assets();
  const entry = Number(new URLSearchParams(document.body.dataset['live']?.split('?')[1]).get('after'));
  const [before, at] = [await fact('entry'), (await fact('kept')) ?? 0];
  const tomorrow = `/run-sheets/${code}?day=${await dayOf((await clock()) + DAY_MS)}`;
  const here = await (await caches.open(PAGES)).match(tomorrow);
  const tongue = document.documentElement.lang;
  const same = (await fact('tongue')) === tongue;
  if (here && same && (before === entry || Date.now() - at < REST_MS)) return;
  await pages(code);
  await keepFact('entry', entry);
  await keepFact('tongue', tongue);
  await keepFact('kept', Date.now());
}

async function assets(): Promise<void> {
  const main = document.querySelector<HTMLScriptElement>('script[src*="/assets/main"]')?.src;
  const shelf = await caches.open(ASSETS);
  // Files of an older server are of no use any more.
  if (main && !(await shelf.match(main))) {
    for (const old of await shelf.keys()) await shelf.delete(old);
  }
  const loaded = performance.getEntriesByType('resource').map((entry) => entry.name);
  const named = [...document.querySelectorAll<HTMLLinkElement>('link[href]')].map((link) => link.href);
  const ours = [...loaded, ...named, main ?? ''].filter((url) => url.startsWith(`${location.origin}/assets/`));
  for (const url of new Set(ours)) {
    if (!(await shelf.match(url))) await shelf.add(url);
  }
}

async function pages(code: string): Promise<void> {
  const shelf = await caches.open(PAGES);
  const base = `/run-sheets/${code}`;
  const kept = new Set<string>();
  const fetched = async (url: string): Promise<Document | null> => {
    if (kept.has(url)) return null;
    const answer = await fetch(url, { redirect: 'manual', headers: UNASKED });
    // No content: it was done with since the sheet was fetched.
    if (answer.status !== 200) return null;
    await shelf.put(url, answer.clone());
    kept.add(url);
    const html = answer.headers.get('content-type')?.startsWith('text/html');
    return html ? new DOMParser().parseFromString(await answer.text(), 'text/html') : null;
  };
  await fetched(base);
  await fetched(`${base}/boxes`);
  for (const day of [await dayOf(await clock()), await dayOf((await clock()) + DAY_MS)]) {
    const sheet = await fetched(`${base}?day=${day}`);
    for (const form of forms(sheet)) await fetched(form);
    for (const plate of plates(sheet)) {
      await fetched(`/plates/${plate}`);
      await fetched(`/plates/${plate}/plate-${plate}.3mf`);
    }
  }
  // Yesterday's.
  for (const { url } of await shelf.keys()) {
    const { pathname, search } = new URL(url);
    if (!kept.has(pathname + search)) await shelf.delete(url);
  }
}

/** Forms for trouble, for copies and for printers that the sheet leads to, from what lies folded in it too. */
function forms(sheet: Document | null): Set<string> {
  const folded = [...(sheet?.querySelectorAll('template') ?? [])].map((template) => template.content);
  const links = [sheet, ...folded].flatMap((part) => [
    ...(part?.querySelectorAll<HTMLAnchorElement>('a[href*="/trouble?"], a[href*="/inspect?"], a[href*="/printer?"]') ?? []),
  ]);
  return new Set(links.map((link) => link.getAttribute('href') ?? ''));
}

/** Numbers of the plates that something is still to be done with. */
function plates(sheet: Document | null): Set<string> {
  const lines = sheet?.querySelectorAll<HTMLElement>('.job:not(.job--done)[data-does]') ?? [];
  return new Set([...lines].map((line) => line.dataset['does']?.split(':')[1] ?? ''));
}
