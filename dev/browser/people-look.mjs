import { goTo, launch, open } from './browser.mjs';
const base = 'http://127.0.0.1:8790';
const out = '/tmp/people-shots';
import { mkdir } from 'node:fs/promises';
await mkdir(out, { recursive: true });
const pages = [
  ['/start'], ['/sign-in'], ['/join'], ['/come-back'], ['/invited/x', '', 404],
  ['/account', 'student:Newt Works'], ['/account', 'mentor:Newt Works'], ['/account/leave', 'student:Newt Works'],
  ['/teams/Newt%20Works', 'mentor:Newt Works'], ['/teams/Newt%20Works/erase', 'mentor:Newt Works'], ['/people', 'coordinator'], ['/region', 'student:Newt Works', 403],
];
for (const largeText of [false, true]) {
  const browser = await launch({ largeText });
  for (const size of [{ width: 1366, height: 768 }, { width: 360, height: 800 }]) {
    if (largeText && size.width !== 360) continue;
    for (const [path, as, status] of pages) {
      const context = await open(browser, base, size, as || undefined);
      const page = await context.newPage();
      await goTo(page, path, status ?? 200);
      const name = `${largeText ? 'L-' : ''}${path.replaceAll(/[^a-z]+/gi, '-')}-${(as ?? '').split(':')[0]}-${size.width}`;
      await page.screenshot({ path: `${out}/${name}.png`, fullPage: true });
      await context.close();
    }
    if (!largeText) {
      const context = await open(browser, base, size, 'mentor:Bogwheel');
      const page = await context.newPage();
      await page.goto('/teams/Bogwheel');
      await page.click('text=Make a code');
      const code = await page.textContent('.shown__value');
      await page.screenshot({ path: `${out}/code-${size.width}.png`, fullPage: true });
      const student = await open(browser, base, size, undefined);
      const tab = await student.newPage();
      await tab.goto('/join');
      await tab.fill('#code', 'QQ'); await tab.fill('#name', 'a@b.c'); await tab.click('button.do--main');
      await tab.screenshot({ path: `${out}/join-wrong-${size.width}.png`, fullPage: true });
      await tab.fill('#code', code); await tab.fill('#name', `Otter ${size.width}`); await tab.click('button.do--main');
      await tab.screenshot({ path: `${out}/welcome-${size.width}.png`, fullPage: true });
      await page.goto('/teams/Bogwheel');
      await page.screenshot({ path: `${out}/team-full-${size.width}.png`, fullPage: true });
      const chief = await open(browser, base, size, 'coordinator');
      const c = await chief.newPage();
      await c.goto('/people');
      await c.click('text=Make the link');
      await c.screenshot({ path: `${out}/link-${size.width}.png`, fullPage: true });
      const link = await c.textContent('.shown__value');
      await tab.goto(new URL(link).pathname);
      await tab.screenshot({ path: `${out}/invited-${size.width}.png`, fullPage: true });
    }
  }
  await browser.close();
}
