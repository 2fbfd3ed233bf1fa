import { goTo, launch, open } from '/work/h/bench/dev/browser/browser.mjs';
const base = process.env.PARTPLEDGE_URL;
const browser = await launch({ webgl: false });
const ctx = await open(browser, base, { width: 1024, height: 768 }, 'operator:brindlemoor', { reducedMotion: 'reduce' });
const page = await ctx.newPage();
await goTo(page, '/run-sheets/brindlemoor');
await page.click('[data-does^="start:"] form button');
await page.waitForSelector('[data-does^="start:"].job--done');
await page.waitForTimeout(1500);
for (const [w, h] of [[1366, 768], [1024, 768], [360, 800]]) {
  await page.setViewportSize({ width: w, height: h });
  await goTo(page, '/run-sheets/brindlemoor');
  await page.waitForTimeout(500);
  await page.screenshot({ path: `/tmp/bench-shots/sheet-${w}.png`, fullPage: true });
}
await page.setViewportSize({ width: 1366, height: 768 });
await goTo(page, '/run-sheets/brindlemoor');
await page.pdf({ path: '/tmp/bench-shots/sheet.pdf', format: 'A4' });
await page.pdf({ path: '/tmp/bench-shots/sheet-letter.pdf', format: 'Letter' });
await browser.close();
