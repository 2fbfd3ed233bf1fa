// Pictures of every page: first view and whole page at three sizes, large text, and printed sheets.

import { mkdir } from 'node:fs/promises';
import { goTo, launch, open } from './browser.mjs';
import { PAGES, SIZES, nameOf } from './pages.mjs';

const base = process.env['PARTPLEDGE_URL'];
const out = process.env['PARTPLEDGE_SHOTS'];
if (!base || !out) throw new Error('PARTPLEDGE_URL and PARTPLEDGE_SHOTS are set by `cargo xtask shots`');
await mkdir(out, { recursive: true });

for (const largeText of [false, true]) {
  const browser = await launch({ largeText });
  for (const entry of PAGES) {
    for (const size of SIZES) {
      const context = await open(browser, base, size, entry.as, { reducedMotion: 'reduce' });
      const page = await context.newPage();
      await goTo(page, entry.path, entry.status);
      const file = `${out}/${largeText ? 'text200-' : ''}${nameOf(entry)}-${size.width}`;
      if (!largeText) await page.screenshot({ path: `${file}-first.png` });
      await page.screenshot({ path: `${file}.png`, fullPage: true });
      await context.close();
    }
    if (entry.prints && !largeText) await print(browser, entry);
  }
  await browser.close();
}

/**
 * @param {import('playwright-core').Browser} browser
 * @param {import('./pages.mjs').Page} entry
 */
async function print(browser, entry) {
  const context = await open(browser, base ?? '', { width: 1366, height: 768 }, entry.as);
  const page = await context.newPage();
  await goTo(page, entry.path, entry.status);
  for (const format of ['A4', 'Letter']) {
    await page.pdf({ path: `${out}/print-${nameOf(entry)}-${format}.pdf`, format, preferCSSPageSize: false });
  }
  await context.close();
}
