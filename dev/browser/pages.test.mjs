// Every page of the running program, at each size and with large text: nothing that shuts people
// out, nothing that scrolls sideways, nothing from elsewhere.

import assert from 'node:assert/strict';
import { after, before, describe, it } from 'node:test';
import { axeFinds, goTo, launch, open, sideways, watched } from './browser.mjs';
import { PAGES, SIZES } from './pages.mjs';

const base = process.env['PARTPLEDGE_URL'] ?? '';
assert.ok(base, 'PARTPLEDGE_URL names the running program; `cargo xtask check` sets it');

/**
 * Where axe looks: laptop and phone, the bench's tablet; with large text on the phone, and on a laptop as one of those
 * whose page it is. Half a second each.
 *
 * @param {import('./pages.mjs').Page} page
 * @param {{ width: number }} size
 * @param {boolean} largeText
 */
function isLookedAt(page, size, largeText) {
  if (size.width === 360) return true;
  if (largeText) return size.width === 1366 && page === PAGES.find(({ path }) => path === page.path);
  return size.width === 1366 || (page.as?.startsWith('operator:') ?? false);
}

for (const largeText of [false, true]) {
  // Two at once: while one is looked at, the other is made.
  describe(largeText ? 'pages with text at 200 %' : 'pages', { concurrency: 2 }, () => {
    /** @type {import('playwright-core').Browser} */
    let browser;
    /**
     * One for whoever looks at one size: signing in and fetching fonts for every page is a third of the time.
     *
     * @type {Map<string, ReturnType<typeof open>>}
     */
    const contexts = new Map();
    /** @type {(size: { width: number, height: number }, as: string | undefined) => ReturnType<typeof open>} */
    const context = (size, as) => {
      const key = `${size.width} ${as ?? ''}`;
      const known = contexts.get(key) ?? open(browser, base, size, as);
      contexts.set(key, known);
      return known;
    };
    before(async () => {
      browser = await launch({ largeText });
    });
    after(() => browser.close());

    for (const entry of PAGES) {
      const { path, as, status } = entry;
      for (const size of SIZES) {
        it(`${path}${as ? ` as ${as}` : ''} at ${size.width} x ${size.height}`, async () => {
          const { page, faults } = await watched(await context(size, as), base);
          try {
            await goTo(page, path, status);
            const wide = await sideways(page);
            const before = [...faults];
            const shutsOut = isLookedAt(entry, size, largeText) ? await axeFinds(page) : [];
            assert.deepEqual([...before, ...wide, ...shutsOut], []);
          } finally {
            await page.close();
          }
        });
      }
    }
  });
}

describe('pages without script', () => {
  it('show their heading and their links', async () => {
    const browser = await launch();
    try {
      for (const { path, as, status } of PAGES) {
        const context = await open(browser, base, { width: 1366, height: 768 }, as, { javaScriptEnabled: false });
        const page = await context.newPage();
        const answer = await page.goto(path);
        assert.equal(answer?.status(), status ?? 200, path);
        assert.ok(await page.locator('h1').first().isVisible(), `${path} has a heading`);
        assert.ok((await page.locator('a[href^="/"]').count()) > 0, `${path} leads on`);
        await context.close();
      }
    } finally {
      await browser.close();
    }
  });
});

describe('sheets on paper', () => {
  for (const entry of PAGES.filter((page) => page.onePage)) {
    for (const format of ['A4', 'Letter']) {
      it(`${entry.path} fits one page of ${format}`, async () => {
        const browser = await launch();
        try {
          const context = await open(browser, base, { width: 1366, height: 768 }, entry.as);
          const page = await context.newPage();
          await goTo(page, entry.path);
          const pdf = (await page.pdf({ format })).toString('latin1');
          // Every page of a PDF is an object of that type (ISO 32000-1, 7.7.3.3); `/Pages` is their tree.
          assert.equal(pdf.match(/\/Type\s*\/Page(?!s)/g)?.length, 1);
        } finally {
          await browser.close();
        }
      });
    }
  }
});
