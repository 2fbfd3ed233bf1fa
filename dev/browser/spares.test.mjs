// A meeting's day, on a program of its own: what a team sees of spares, and one from the wish to the hand-over.

import assert from 'node:assert/strict';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, describe, it } from 'node:test';
import { axeFinds, goTo, launch, open, sideways, watched } from './browser.mjs';
import { Program } from './serving.mjs';
import { shoot } from './tablet.mjs';

/** The demo region's qualifier; its bench is open from 8:30. */
const WHEN = '2027-03-13T09:30:00+01:00';
const LAPTOP = { width: 1366, height: 768 };
const PHONE = { width: 360, height: 800 };
const TEAM = 'student:Newt Works';
const BENCH = 'operator:sluice-hall';
const SHEET = '/run-sheets/sluice-hall';

describe('spares at a meeting', () => {
  /** @type {import('playwright-core').Browser} */
  let browser;
  /** @type {Program} */
  let served;
  let base = '';
  let data = '';
  before(async () => {
    browser = await launch({ webgl: false });
    data = await mkdtemp(join(tmpdir(), 'partpledge-spares-'));
    served = new Program(join(data, 'data'));
    await served.start(WHEN);
    base = `http://127.0.0.1:${served.port}`;
  });
  after(async () => {
    await served.kill();
    await browser.close();
    await rm(data, { recursive: true, force: true });
  });

  for (const tongue of ['en-GB', 'de']) {
    for (const size of [LAPTOP, PHONE]) {
      it(`is seen in ${tongue} at ${size.width} x ${size.height}`, async () => {
        const context = await open(browser, base, size, TEAM);
        await context.request.post('/tongue', { form: { tongue } });
        const { page, faults } = await watched(context, base);
        const found = [];
        for (const [path, has] of [
          ['/parts', 'p:has-text("Sluice Hall")'],
          ['/parts/1', 'a[href="/parts/1/spare"]'],
          ['/parts/1/spare', 'form[method=post] button.do--main'],
          // More than the bench can make on its day: why not, and nothing to press.
          ['/parts/1/spare?copies=40', 'section.ask p'],
        ]) {
          await goTo(page, path ?? '');
          assert.equal(await page.getAttribute('html', 'lang'), tongue);
          assert.ok((await page.locator(has ?? '').count()) > 0, `${path} has ${has}`);
          await shoot(page, `spares-${tongue}-${size.width}-${path?.replaceAll(/[^a-z0-9]+/gi, '-')}`);
          found.push(...(await sideways(page)), ...(await axeFinds(page)));
        }
        assert.deepEqual([...faults, ...found], []);
        await context.request.post('/tongue', { form: { tongue: 'en-GB' } });
        await context.close();
      });
    }
  }

  it('goes from the wish to the hand-over', async () => {
    const context = await open(browser, base, PHONE, TEAM);
    const team = await watched(context, base);
    await goTo(team.page, '/parts');
    await team.page.click('a[href="/parts/1"]');
    await team.page.click('a[href="/parts/1/spare"]');
    await Promise.all([team.page.waitForURL(/\/parts\/\d+$/), team.page.click('form[method=post] button.do--main')]);
    assert.match((await team.page.textContent('#ticket')) ?? '', /Pledge given[\s\S]*in 10/);
    const spare = new URL(team.page.url()).pathname;
    assert.notEqual(spare, '/parts/1', 'a request of its own');
    const row = team.page.locator('#plates tbody tr').first();
    assert.match((await row.textContent()) ?? '', /at the hall/);
    const plate = Number(await row.locator('th').textContent());

    const hall = await open(browser, base, LAPTOP, BENCH);
    const bench = await watched(hall, base);
    await goTo(bench.page, SHEET);
    for (const does of ['start', 'look', 'off', 'box']) {
      const line = `[data-does="${does}:${plate}"]`;
      await bench.page.click(`${line} form button.tick >> nth=0`);
      await bench.page.waitForSelector(`${line}.job--done:not(.job--unsent)`);
    }
    // The team reads the code of its box on the page that lies open.
    await team.page.waitForSelector('.boxcode--told', { timeout: 15_000 });
    const code = ((await team.page.textContent('.boxcode--told')) ?? '').replace(/^Code: /, '').replace(/^\S+ /, '');
    const hand = `[data-does="hand:${plate}"]`;
    await bench.page.fill(`${hand} input[name=code]`, code);
    await bench.page.click(`${hand} form button.tick >> nth=0`);
    await bench.page.waitForSelector(`${hand}.job--done:not(.job--unsent)`);
    await shoot(bench.page, 'spares-bench');
    await goTo(team.page, spare);
    assert.match((await team.page.textContent('h1')) ?? '', /^The promise was kept/);
    await shoot(team.page, 'spares-kept');
    // What it is a spare of stands as it was.
    await goTo(team.page, '/parts/1');
    assert.doesNotMatch((await team.page.textContent('h1')) ?? '', /kept/);
    assert.deepEqual([...team.faults, ...bench.faults], []);
    await context.close();
    await hall.close();
  });
});
