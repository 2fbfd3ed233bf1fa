// Every page in the other language: nothing scrolls sideways, and nothing was written past the files of messages.

import assert from 'node:assert/strict';
import { after, before, describe, it } from 'node:test';
import { axeFinds, goTo, launch, open, sideways, watched } from './browser.mjs';
import { PAGES } from './pages.mjs';

const base = process.env['PARTPLEDGE_URL'] ?? '';
assert.ok(base, 'PARTPLEDGE_URL names the running program; `cargo xtask check` sets it');

const NARROW = { width: 360, height: 800 };
const TABLES = ['schools', 'teams', 'printers', 'hours'];
/** Names and units that are no words of a language: they stand in pages as they are. */
const NAMES = `Partpledge Deutsch mm mm² mm³ cm³ g kg KB MB kB kWh h min s m PLA PETG TPU ASA STL OBJ 3MF PDF CSV MB
  SVG CAD HTTP API JSON OpenAPI GeoJSON MTConnect x`;

/** What stands in a page outside all messages, by the marks around them: words with their places. */
const past = (/** @type {string} */ html) => {
  const body = html.slice(html.indexOf('<title>'));
  let depth = 0;
  let outside = '';
  for (const letter of body) {
    if (letter === '⟦') depth += 1;
    else if (letter === '⟧') depth -= 1;
    else outside += depth > 0 ? '' : letter;
  }
  const read = outside
    .replaceAll(/<(script|style|template)[\s\S]*?<\/\1>/g, ' ')
    .replaceAll(/<[^>]*>/g, (tag) => {
      const said = [...tag.matchAll(/ (?:alt|aria-label|title|placeholder)="([^"]*)"/g)];
      return said.length > 0 ? ` ${said.map((one) => one[1]).join(' ')} ` : ' ';
    })
    .replaceAll(/&#?\w+;/g, ' ');
  return [...read.matchAll(/[\p{L}]{2,}[\p{L}²³]*/gu)].map((one) => one[0]);
};

/** All words of a text, in lower case. */
const wordsOf = (/** @type {string} */ text) =>
  new Set([...text.toLowerCase().matchAll(/[\p{L}]+[²³]?/gu)].map((one) => one[0]));

describe('what is shown is said in messages', { concurrency: 2 }, () => {
  /** @type {import('playwright-core').Browser} */
  let browser;
  /** @type {Set<string>} */
  let data = new Set();
  before(async () => {
    browser = await launch();
    const context = await open(browser, base, NARROW, 'coordinator');
    const texts = [NAMES];
    for (const table of TABLES) {
      const answer = await context.request.get(`/region/data/${table}.csv`);
      if (answer.ok()) texts.push(await answer.text());
    }
    data = wordsOf(texts.join(' '));
    await context.close();
  });
  after(() => browser.close());

  for (const { path, as } of PAGES) {
    it(`${path}${as ? ` as ${as}` : ''}`, async () => {
      const context = await open(browser, base, NARROW, as);
      await context.addCookies([{ name: 'partpledge_tongue', value: 'en-x-marked', url: base }]);
      const answer = await context.request.get(path);
      const html = await answer.text();
      assert.ok(html.includes('⟦'), 'the marks are there');
      const unsaid = past(html).filter((word) => !data.has(word.toLowerCase()));
      assert.deepEqual(unsaid, []);
      await context.close();
    });
  }
});

describe('pages in German', { concurrency: 2 }, () => {
  /** @type {import('playwright-core').Browser} */
  let browser;
  const everybody = [...new Set(PAGES.map((page) => page.as))];
  const speak = async (/** @type {string} */ tongue) => {
    for (const as of everybody) {
      if (!as) continue;
      const context = await open(browser, base, NARROW, as);
      const answer = await context.request.post('/tongue', { form: { tongue } });
      assert.ok(answer.ok(), `${as} speaks ${tongue}`);
      await context.close();
    }
  };
  before(async () => {
    browser = await launch();
    await speak('de');
  });
  after(async () => {
    await speak('en-GB');
    await browser.close();
  });

  for (const { path, as, status } of PAGES) {
    it(`${path}${as ? ` as ${as}` : ''}`, async () => {
      const context = await open(browser, base, NARROW, as, { locale: 'de-DE' });
      const { page, faults } = await watched(context, base);
      await goTo(page, path, status);
      assert.equal(await page.getAttribute('html', 'lang'), 'de');
      const wide = await sideways(page);
      assert.deepEqual([...faults, ...wide, ...(await axeFinds(page))], []);
      await context.close();
    });
  }
});
