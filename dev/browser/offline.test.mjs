// The bench without a network: the sheet still opens, what is done is kept, and arrives once each.
// Between browser and server stands a wire that the test can cut, as real networks are cut.

import assert from 'node:assert/strict';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, afterEach, before, beforeEach, describe, it } from 'node:test';
import { axeFinds, launch, open, watched } from './browser.mjs';
import { Program, Wire } from './serving.mjs';
import { kept, shoot, unsent } from './tablet.mjs';

const TABLET = { width: 1024, height: 768 };
const DAYS = ['2027-03-09', '2027-03-10'];

describe('the bench without a network', () => {
  /** @type {import('playwright-core').Browser} */
  let browser;
  /** @type {Program} */
  let served;
  /** @type {Wire} */
  let wire;
  let base = '';
  let data = '';
  before(async () => {
    browser = await launch({ webgl: false });
  });
  after(() => browser.close());
  beforeEach(async () => {
    data = await mkdtemp(join(tmpdir(), 'partpledge-bench-'));
    served = new Program(join(data, 'data'));
    await served.start();
    wire = new Wire(served);
    base = await wire.listen();
  });
  afterEach(async () => {
    wire.close();
    await served.kill();
    await rm(data, { recursive: true, force: true });
  });

  /** A tablet that has all it needs for a day. @param {string} who @param {string} sheet */
  async function tablet(who, sheet) {
    const context = await open(browser, base, TABLET, who);
    const { page, faults } = await watched(context, base);
    await page.goto(sheet);
    await kept(page);
    return { context, page, faults };
  }

  /** @param {import('playwright-core').Page} page @param {string} does */
  async function tick(page, does) {
    // Nobody has told the bench a box's code: it says so.
    const without = page.locator(`[data-does="${does}"] form select[name=without]`).first();
    if ((await without.count()) > 0) await without.selectOption({ index: 1 });
    await page.click(`[data-does="${does}"] form button`);
    await page.waitForSelector(`[data-does="${does}"].job--unsent`);
  }

  /** Numbers of the plates that are planned. @param {import('playwright-core').BrowserContext} context */
  async function planned(context) {
    const text = await (await context.request.get('/plates')).text();
    return [...text.matchAll(/href="\/plates\/(\d+)"/g)].map((found) => Number(found[1]));
  }

  /** What can be started on the sheet that is shown: plates in order. @param {import('playwright-core').Page} page */
  const startable = (page) =>
    page.$$eval('.job:not(.job--done)[data-does^="start:"]', (lines) => lines.map((line) => Number(line.getAttribute('data-does')?.split(':')[1])));

  it('opens, keeps what is done over a reload, and sends it when the network is back', async () => {
    const { context, page, faults } = await tablet('operator:brindlemoor', '/run-sheets/brindlemoor');
    const [plate] = await startable(page);
    const coordinator = await open(browser, base, TABLET, 'coordinator');
    const before = await planned(coordinator);
    wire.cut();
    await page.reload();
    await page.waitForSelector('#unsent:has-text("No network")');
    await tick(page, `start:${plate}`);
    await unsent(page, 1);
    assert.equal(await page.textContent('#unsent h2'), 'Not yet sent (1)');
    // What waited for the start can be done now.
    await tick(page, `look:${plate}`);
    await page.reload();
    await unsent(page, 2);
    assert.ok(await page.locator(`[data-does="start:${plate}"].job--unsent`).isVisible(), 'a reload loses nothing');
    await page.click(`a[href="/plates/${plate}"] >> nth=0`);
    await page.waitForSelector('.label');
    assert.ok((await page.locator('svg.plan').count()) > 0, 'the plan view is here too');
    await page.goBack();
    await page.click(`[data-does="off:${plate}"] a[href*="trouble"]`);
    assert.match((await page.textContent('main')) ?? '', /Stop the printer first/);
    await page.check('input[value="Layers are shifted"]');
    await page.check('input[name=out][value=no]');
    await page.click('button.do--main');
    await page.waitForURL(/run-sheets/);
    await unsent(page, 3);
    assert.deepEqual(await axeFinds(page), []);
    await shoot(page, 'offline');
    // The server is killed between queue and sending: it is asked for nothing that it had promised.
    await served.kill();
    await served.start();
    wire.mend();
    await page.click('text=Send now');
    await unsent(page, 0);
    await page.waitForSelector(`[data-does="off:${plate}"].job--done`);
    assert.match((await page.textContent(`[data-does="off:${plate}"]`)) ?? '', /Failed \d\d:\d\d/);
    const after = await planned(coordinator);
    assert.ok(!after.includes(plate ?? 0), 'what failed is planned no more');
    assert.ok(Math.max(...after) > Math.max(...before), 'the coordinator sees the plate that takes its place');
    await coordinator.close();
    assert.deepEqual(faults.filter((fault) => !/ERR_|Failed to load|network/i.test(fault)), []);
    await context.close();
  });

  it('is worked by keyboard alone: after each tick the focus is where work goes on', async () => {
    const { context, page, faults } = await tablet('operator:brindlemoor', '/run-sheets/brindlemoor');
    const onNow = () => page.evaluate(() => document.activeElement?.matches('.job--now'));
    const ticked = new Set();
    for (const network of [true, true, false, true]) {
      const now = (await page.locator('.job--now').getAttribute('data-row')) ?? '';
      assert.equal(await onNow(), ticked.size > 0, 'the focus is on what is to be done now');
      // From the row it is a few steps; the first time it is all the way from the top of the page.
      const most = ticked.size > 0 ? 12 : 60;
      for (let i = 0; !(await page.evaluate(() => document.activeElement?.matches('.job--now button.tick'))); i += 1) {
        assert.ok(i < most, 'Tab comes to the tick');
        await page.keyboard.press('Tab');
      }
      if (!network) wire.cut();
      await page.keyboard.press('Enter');
      await page.waitForSelector(`[data-row="${now}"].job--done${network ? ':not(.job--unsent)' : '.job--unsent'}`);
      if (!network) wire.mend();
      await page.waitForFunction(() => document.activeElement?.matches('.job--now'), undefined, { timeout: 5_000 });
      const seen = await page.evaluate(() => {
        const on = document.activeElement;
        const { top, bottom } = on?.getBoundingClientRect() ?? { top: -1, bottom: -1 };
        return { ring: on ? getComputedStyle(on).outlineStyle : '', inSight: bottom > 0 && top < innerHeight };
      });
      assert.deepEqual(seen, { ring: 'solid', inSight: true }, 'the focus is seen');
      ticked.add(now);
      if (network) continue;
      await unsent(page, 0);
      // The server's own sheet may have something else to be done now, and the focus goes there.
      await page.waitForSelector(`[data-row="${now}"].job--done:not(.job--unsent)`);
      await page.waitForFunction(() => document.activeElement?.matches('.job--now'), undefined, { timeout: 5_000 });
    }
    assert.equal(ticked.size, 4, 'each was another');
    // A change that comes from elsewhere takes nothing away.
    const swapped = page.waitForResponse((answer) => answer.url().includes('/run-sheets/brindlemoor'));
    await page.evaluate(() => document.body.dispatchEvent(new CustomEvent('live')));
    await swapped;
    await page.waitForTimeout(300);
    assert.equal(await onNow(), true);
    assert.deepEqual(faults.filter((fault) => !/ERR_|Failed to load|network|event-stream|htmx:(sendError|afterRequest)/i.test(fault)), []);
    await context.close();
  });

  it('keeps that a printer is out of use, and that it works again, and sends both', async () => {
    const { context, page, faults } = await tablet('operator:brindlemoor', '/run-sheets/brindlemoor');
    const line = page.locator('li[data-printer="Heron"]');
    wire.cut();
    await line.locator('a[href*="/printer?"]').click();
    await page.check('input[value="The power went"]');
    await page.click('button.do--main');
    await page.waitForURL(/run-sheets\/brindlemoor#printers/);
    await unsent(page, 1);
    assert.match((await line.textContent()) ?? '', /Heron out of use: The power went\. Done \d\d:\d\d\. Not yet sent/);
    assert.equal(await line.locator('a.do, button').count(), 0, 'no more can be said of it until it is sent');
    assert.deepEqual(await axeFinds(page), []);
    await shoot(page, 'offline-printer');
    await page.reload();
    await unsent(page, 1);
    assert.match((await line.textContent()) ?? '', /Not yet sent/, 'a reload loses nothing');
    wire.mend();
    await sendNow(page);
    await unsent(page, 0);
    await page.waitForSelector('li[data-printer="Heron"] :text("out of use until")');
    const before = await entry(context);
    wire.cut();
    await line.getByRole('button', { name: 'Works again' }).click();
    await unsent(page, 1);
    assert.match((await line.textContent()) ?? '', /Heron works again\. Done \d\d:\d\d\. Not yet sent/);
    wire.mend();
    await sendNow(page);
    await unsent(page, 0);
    await page.waitForSelector('li[data-printer="Heron"] :text("it can be used")');
    assert.equal(await entry(context), before + 1, 'once');
    assert.deepEqual(faults.filter((fault) => !/ERR_|Failed to load|network|event-stream|htmx:(sendError|afterRequest)/i.test(fault)), []);
    await context.close();
  });

  it('waits when nobody is signed in any more, and says so', async () => {
    const { context, page } = await tablet('operator:brindlemoor', '/run-sheets/brindlemoor');
    wire.cut();
    const ready = await page.$$eval('.job:not(.job--done) form[data-queue]', (forms) =>
      forms.map((form) => form.closest('.job')?.getAttribute('data-does') ?? ''));
    assert.ok(ready[0]);
    await tick(page, ready[0]);
    await context.clearCookies();
    wire.mend();
    await page.click('text=Send now');
    await page.waitForSelector('text=Sign in again to send');
    await unsent(page, 1);
    await context.request.post('/try-as', { form: { who: 'operator:brindlemoor' } });
    // What goes out by itself says so: it keeps nobody signed in.
    const resent = page.waitForRequest((asked) => asked.method() === 'POST' && asked.url().endsWith('/do'));
    await page.goto('/run-sheets/brindlemoor');
    assert.equal((await resent).headers()['partpledge-unasked'], '1');
    await page.waitForFunction(() => document.querySelector('#unsent')?.hasAttribute('hidden'), undefined, { timeout: 30_000 });
    await context.close();
  });

  it('thirty deeds on two tablets, one sent twice, arrive once each and in order', async () => {
    const first = await tablet('operator:brindlemoor', '/run-sheets/brindlemoor');
    const second = await tablet('coordinator', '/run-sheets/dunmarrow');
    const [before, promised] = [await entry(first.context), await promises(second.context)];
    wire.cut();
    /** @type {Map<string, string[]>} */
    const done = new Map();
    let queued = 0;
    for (const [{ page }, code, upto] of /** @type {const} */ ([[first, 'brindlemoor', 15], [second, 'dunmarrow', 30]])) {
      done.set(code, []);
      for (const day of DAYS) {
        await page.goto(`/run-sheets/${code}?day=${day}`);
        await page.waitForSelector('#unsent:not([hidden])');
        while (queued < upto) {
          const open = await page.$$eval('.job:not(.job--done) form[data-queue]', (forms) =>
            forms.map((form) => form.closest('.job')?.getAttribute('data-does') ?? ''));
          if (!open[0]) break;
          await tick(page, open[0]);
          done.get(code)?.push(open[0]);
          queued += 1;
        }
      }
    }
    const sizes = [...done].map(([code, ids]) => `${code} ${ids.length}`);
    assert.equal(queued, 30, sizes.join(', '));
    assert.ok([...done.values()].every((ids) => ids.length >= 5), `both have some: ${sizes.join(', ')}`);
    // One deed is known to the sender twice: the queue of the first tablet is copied and sent again.
    const bodies = await first.page.evaluate(keptBodies);
    // A start that puts another spool on its printer is two entries, and so is a hand-over that ends a promise.
    const deeds = [...bodies, ...(await second.page.evaluate(keptBodies))].map(({ body }) => new URLSearchParams(body));
    const on = new Map();
    const loads = deeds.filter((deed) => {
      const [printer, spool] = [deed.get('printer'), deed.get('spool')];
      if (deed.get('act') !== 'start' || !spool || on.get(printer) === spool) return false;
      on.set(printer, spool);
      return true;
    }).length;
    wire.mend();
    for (const { page } of [first, second]) {
      await page.click('text=Send now');
      await unsent(page, 0);
    }
    const after = await entry(first.context);
    const ended = promised - (await promises(second.context));
    assert.equal(after, before + 30 + loads + ended, `one entry each, ${loads} spools and ${ended} ended promises`);
    const [again] = bodies;
    assert.ok(again);
    const replay = await first.context.request.post(again.url, {
      headers: { 'content-type': 'application/x-www-form-urlencoded', accept: 'application/json', origin: base },
      data: again.body,
    });
    assert.deepEqual(await replay.json(), { answer: 'done' }, 'sent twice, it was done once');
    assert.equal(await entry(first.context), after);
    // In order: every line that was ticked is done, and no step waits for one before it.
    for (const [{ page }, code] of /** @type {const} */ ([[first, 'brindlemoor'], [second, 'dunmarrow']])) {
      const found = new Set();
      for (const day of DAYS) {
        await page.goto(`/run-sheets/${code}?day=${day}`);
        const lines = await page.$$eval('.job--done[data-does]', (all) => all.map((line) => line.getAttribute('data-does') ?? ''));
        lines.forEach((line) => found.add(line));
      }
      const missing = (done.get(code) ?? []).filter((id) => !found.has(id));
      assert.deepEqual(missing, [], code);
    }
    await first.context.close();
    await second.context.close();
  });
});

/**
 * Sends what waits, unless the tablet has found its network again meanwhile and sent it by itself.
 * @param {import('playwright-core').Page} page
 */
async function sendNow(page) {
  await page.click('text=Send now', { timeout: 5_000 }).catch(() => undefined);
}

/** Number of the log's last entry, as a page has it. @param {import('playwright-core').BrowserContext} context */
async function entry(context) {
  const text = await (await context.request.get('/run-sheets/brindlemoor')).text();
  return Number(/data-live="\/live\?after=(\d+)"/.exec(text)?.[1]);
}

/** How many promises are open. @param {import('playwright-core').BrowserContext} context of a coordinator */
async function promises(context) {
  const text = await (await context.request.get('/promises')).text();
  return [...text.matchAll(/<th scope="row">/g)].length;
}

/** @returns {Promise<{ url: string, body: string }[]>} */
function keptBodies() {
  return new Promise((resolve) => {
    const asked = indexedDB.open('partpledge-bench', 1);
    asked.onsuccess = () => {
      const got = asked.result.transaction('deeds').objectStore('deeds').getAll();
      got.onsuccess = () => resolve(got.result);
    };
  });
}
