// Chromium as a person has it, and what a page did there that it must not.

import axe from 'axe-core';
import { chromium } from 'playwright-core';

const FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];
// WebGL reckoned by the processor: the machines that test have no graphics card.
const WEBGL = ['--use-gl=angle', '--use-angle=swiftshader', '--enable-unsafe-swiftshader'];
/** The usual size of text, 16 px, at 200 %: as set in the browser, so that breaks in em follow. */
const LARGE_TEXT = '--blink-settings=defaultFontSize=32,defaultFixedFontSize=26,minimumFontSize=0';

const RULES = ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa', 'best-practice'];

/**
 * @param {{ largeText?: boolean, webgl?: boolean }} [how]
 * @returns {Promise<import('playwright-core').Browser>}
 */
export function launch({ largeText = false, webgl = true } = {}) {
  return chromium.launch({
    executablePath: process.env['PARTPLEDGE_BROWSER'] ?? '/usr/bin/chromium',
    headless: true,
    args: [
      ...FLAGS,
      ...(webgl ? WEBGL : ['--disable-3d-apis']),
      ...(largeText ? [LARGE_TEXT] : []),
    ],
  });
}

/**
 * A window of that size, signed in as `as`.
 *
 * @param {import('playwright-core').Browser} browser
 * @param {string} base
 * @param {{ width: number, height: number }} viewport
 * @param {string} [as]
 * @param {import('playwright-core').BrowserContextOptions} [more]
 */
export async function open(browser, base, viewport, as, more = {}) {
  const context = await browser.newContext({ baseURL: base, viewport, ...more });
  if (as) {
    const answer = await context.request.post('/try-as', { form: { who: as } });
    if (!answer.ok()) throw new Error(`POST /try-as as ${as} gave ${answer.status()}`);
  }
  return context;
}

/**
 * A tab that notes everything a page must not do.
 *
 * @param {import('playwright-core').BrowserContext} context
 * @param {string} base
 */
export async function watched(context, base) {
  const page = await context.newPage();
  /** @type {string[]} */
  const faults = [];
  await page.addInitScript({ content: axe.source });
  await page.exposeFunction('partpledgeFault', (/** @type {string} */ text) => faults.push(text));
  await page.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', (event) => {
      const { violatedDirective, blockedURI, sourceFile, lineNumber } = event;
      Reflect.get(window, 'partpledgeFault')(`policy: ${violatedDirective} ${blockedURI} ${sourceFile}:${lineNumber}`);
    });
  });
  const origin = new URL(base).origin;
  page.on('request', (request) => {
    if (!request.url().startsWith(`${origin}/`)) faults.push(`another host: ${request.url()}`);
  });
  page.on('pageerror', (error) => faults.push(`script: ${error.message}`));
  page.on('console', (message) => {
    if (message.type() !== 'error') return;
    // The status of the page itself is looked at elsewhere.
    if (message.location().url === page.url() && message.text().includes('the server responded')) return;
    faults.push(`console: ${message.text()} (${message.location().url})`);
  });
  return { page, faults };
}

/**
 * What axe finds, one line each.
 *
 * @param {import('playwright-core').Page} page
 * @returns {Promise<string[]>}
 */
export async function axeFinds(page) {
  const found = await page.evaluate(async (rules) => {
    /** @type {typeof import('axe-core')} */
    const axe = Reflect.get(window, 'axe');
    return (await axe.run(document, { runOnly: { type: 'tag', values: rules } })).violations;
  }, RULES);
  return found.flatMap((rule) =>
    rule.nodes.map((node) => `axe ${rule.id}: ${node.target.join(' ')}: ${node.failureSummary?.replaceAll(/\s+/g, ' ')}`),
  );
}

/**
 * Elements that make the page scroll sideways; empty if it does not.
 *
 * @param {import('playwright-core').Page} page
 * @returns {Promise<string[]>}
 */
export function sideways(page) {
  return page.evaluate(() => {
    const root = document.documentElement;
    if (root.scrollWidth <= root.clientWidth) return [];
    const wide = [...document.body.querySelectorAll('*')].filter(
      (element) => element.getBoundingClientRect().right > root.clientWidth + 0.5,
    );
    const names = wide.map((element) => `${element.tagName.toLowerCase()}.${element.getAttribute('class') ?? ''}`);
    return [`sideways scroll: ${root.scrollWidth} px on ${root.clientWidth}: ${names.slice(0, 5).join(', ')}`];
  });
}

/**
 * Texts that stick out of what holds them, or of which something is hidden by it.
 *
 * @param {import('playwright-core').Page} page
 * @returns {Promise<string[]>}
 */
export function cutOff(page) {
  return page.evaluate(() => {
    const seen = (/** @type {Element} */ element) =>
      element.checkVisibility() && !element.closest('.hush, svg, select, [hidden]');
    const own = (/** @type {Element} */ element) =>
      [...element.childNodes].some((node) => node instanceof Text && node.textContent?.trim());
    const found = [...document.body.querySelectorAll('*')].filter((element) => {
      if (!(element instanceof HTMLElement) || !seen(element) || !own(element)) return false;
      // Inline boxes have no width of their own.
      const inside = element.clientWidth > 0 && element.scrollWidth > element.clientWidth + 1;
      const hides = getComputedStyle(element).overflowX !== 'visible';
      if (inside && !(hides && element.matches('.scroll, [tabindex]'))) return true;
      return hides && element.clientHeight > 0 && element.scrollHeight > element.clientHeight + 1 && !element.matches('textarea');
    });
    return found.map((element) => `cut off: ${element.tagName.toLowerCase()}.${element.className}: ${element.textContent?.trim().slice(0, 40)}`);
  });
}

/**
 * Loaded, fonts and pictures included. Live pages keep a stream open, so idleness is no sign.
 *
 * @param {import('playwright-core').Page} page
 * @param {string} path
 * @param {number} [status]
 */
export async function goTo(page, path, status = 200) {
  const answer = await page.goto(path, { waitUntil: 'load' });
  if (answer?.status() !== status) throw new Error(`${path} gave ${answer?.status()}, not ${status}`);
  await page.evaluate(() => document.fonts.ready.then(() => undefined));
  await atRest(page);
}

/**
 * If the page has a 3D view, waits until it rests or has given up.
 *
 * @param {import('playwright-core').Page} page
 */
export async function atRest(page) {
  await page.waitForFunction(() =>
    [...document.querySelectorAll('[data-part-view][data-mesh]')].every(
      (view) => view.hasAttribute('data-at-rest') || view.querySelector('[data-no-3d]:not([hidden])'),
    ),
  );
}
