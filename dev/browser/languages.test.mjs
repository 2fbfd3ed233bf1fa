// Every page in the other language: nothing scrolls sideways, and nothing was written past the files of messages.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, describe, it } from 'node:test';
import { axeFinds, cutOff, goTo, launch, open, sideways, watched } from './browser.mjs';
import { PAGES } from './pages.mjs';
import { shoot } from './tablet.mjs';

const base = process.env['PARTPLEDGE_URL'] ?? '';
assert.ok(base, 'PARTPLEDGE_URL names the running program; `cargo xtask check` sets it');

const NARROW = { width: 360, height: 800 };
/** What the demo region calls its places, teams, printers and days. */
const REGION = ['ambrel-valley', 'meeting']
  .map((name) => readFileSync(new URL(`../testbed/data/${name}.toml`, import.meta.url), 'utf8'))
  .join('\n');
/** What its people call themselves, their parts and their spools. */
const INVENTED = `Try out Moss Pebble Fern Comet Biscuit Juniper AV BS OH sea green orange slate grey black
  float arm bracket pulley in inches patched gear battery cradle axle washer cable clip hollow ball motor plate wheel hub sensor
  mount hex spacer bumper corner torn tray bore`;
/** What is the same in every language: units, names of standards, and of files. */
const SAME = `Partpledge English Deutsch mm mm² mm³ cm³ kg KB MB kB kWh min EUR ISO IEC 3MF core specification
  PDF CSV SVG CAD STL HTTP API JSON OpenAPI GeoJSON MTConnect account export teams schools printers hours json csv`;
/** The title of a paper, as its authors wrote it. */
const PAPER = 'Jain Chiu Hawe A Quantitative Measure of Fairness and Discrimination DEC TR';

/** What stands in a page outside all messages, by the marks around them: words with their places. */
const past = (/** @type {string} */ html) => {
  const body = html.slice(html.indexOf('<title>'));
  let depth = 0;
  let outside = '';
  for (const letter of body) {
    if (letter === '⟦') depth += 1;
    else if (letter === '⟧') depth -= 1;
    if (letter === '⟦' || letter === '⟧') outside += ' ';
    else outside += depth > 0 ? '' : letter;
  }
  const read = outside
    .replaceAll(/<(script|style|template)[\s\S]*?<\/\1>/g, ' ')
    .replaceAll(/<(\w+) translate="no">[^<]*<\/\1>/g, ' ')
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
  const quoted = [...REGION.replaceAll(/^#.*$/gm, '').matchAll(/"([^"]*)"/g)].map((one) => one[1]);
  const data = wordsOf([...quoted, INVENTED, SAME, PAPER].join(' '));
  before(async () => {
    browser = await launch();
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

/** Whoever looks at these pages speaks `tongue` from now on. @param {import('playwright-core').Browser} browser @param {string} tongue */
async function speak(browser, tongue) {
  for (const as of new Set(PAGES.map((page) => page.as))) {
    if (!as) continue;
    const context = await open(browser, base, NARROW, as);
    const answer = await context.request.post('/tongue', { form: { tongue } });
    assert.ok(answer.ok(), `${as} speaks ${tongue}`);
    await context.close();
  }
}

describe('pages in German', { concurrency: 2 }, () => {
  /** @type {import('playwright-core').Browser} */
  let browser;
  before(async () => {
    browser = await launch();
    await speak(browser, 'de');
  });
  after(async () => {
    await speak(browser, 'en-GB');
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

/** Where the most is said, and the most stands side by side. */
const MAIN = ['/parts', '/parts/send', '/parts/1', '/run-sheet', '/run-sheets/brindlemoor/inspect?plate=1', '/region', '/region/closed',
  '/promises', '/notices', '/spools/brindlemoor'];

describe('pages in German with text at 200 %', { concurrency: 2 }, () => {
  /** @type {import('playwright-core').Browser} */
  let browser;
  before(async () => {
    browser = await launch({ largeText: true });
    await speak(browser, 'de');
  });
  after(async () => {
    await speak(browser, 'en-GB');
    await browser.close();
  });

  for (const path of MAIN) {
    const as = PAGES.find((page) => page.path === path && !page.status)?.as;
    it(`${path} as ${as}`, async () => {
      const context = await open(browser, base, { width: 1366, height: 768 }, as);
      const page = await context.newPage();
      await goTo(page, path);
      assert.equal(await page.getAttribute('html', 'lang'), 'de');
      await shoot(page, `large-de-${path.replaceAll(/[^a-z0-9]+/gi, '-')}`);
      assert.deepEqual([...(await sideways(page)), ...(await cutOff(page))], []);
      await context.close();
    });
  }
});

describe('choosing a language', () => {
  it('reaches the pages that lie open', async () => {
    const browser = await launch();
    try {
      const context = await open(browser, base, NARROW, 'coordinator');
      const page = await context.newPage();
      await goTo(page, '/promises');
      for (const tongue of ['de', 'en-GB']) {
        await context.request.post('/tongue', { form: { tongue } });
        // As when somebody comes back to it: it asks for its parts.
        await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
        await page.waitForSelector(`html[lang="${tongue}"]`, { state: 'attached' });
      }
    } finally {
      await browser.close();
    }
  });

  it('is one press at the foot, and leads back to the same page', async () => {
    const browser = await launch();
    try {
      const context = await open(browser, base, NARROW);
      const page = await context.newPage();
      await goTo(page, '/how?x=1');
      await page.getByRole('button', { name: 'Deutsch' }).press('Enter');
      await page.waitForURL(/\/how\?x=1$/);
      assert.equal(await page.getAttribute('html', 'lang'), 'de');
      await page.getByRole('button', { name: 'English' }).press('Enter');
      await page.waitForURL(/\/how\?x=1$/);
      assert.equal(await page.getAttribute('html', 'lang'), 'en-GB');
    } finally {
      await browser.close();
    }
  });
});
