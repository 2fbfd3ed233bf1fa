// One part from a student's first day to the box in the team's hands, on a program of its own that is
// killed on the way: everybody's page is looked at after each step.

import assert from 'node:assert/strict';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, describe, it } from 'node:test';
import { axeFinds, launch, open, watched } from './browser.mjs';
import { boxStl } from './fixture.mjs';
import { Program, Wire } from './serving.mjs';
import { kept, shoot, unsent } from './tablet.mjs';

const LAPTOP = { width: 1366, height: 768 };
const PHONE = { width: 360, height: 800 };
const TABLET = { width: 1024, height: 768 };
const SHEET = '/run-sheets/brindlemoor';

/** @param {string} name @param {number} w @param {number} d @param {number} h */
const stl = (name, w, d, h) => ({ name, mimeType: 'model/stl', buffer: boxStl(w, d, h) });

describe('the whole story', () => {
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
    data = await mkdtemp(join(tmpdir(), 'partpledge-whole-'));
    served = new Program(join(data, 'data'));
    await served.start();
    wire = new Wire(served);
    base = await wire.listen();
  });
  after(async () => {
    wire.close();
    await served.kill();
    await browser.close();
    await rm(data, { recursive: true, force: true });
  });

  /** @param {string | undefined} as */
  async function tab(as, viewport = LAPTOP) {
    const context = await open(browser, base, viewport, as);
    return { context, ...(await watched(context, base)) };
  }

  /** @param {import('playwright-core').Page} page */
  const title = async (page) => (await page.textContent('h1')) ?? '';

  /** A line of the run sheet. @param {string} does */
  const line = (does) => `[data-does="${does}"]`;

  it('goes from a code on the board to a box in the hands of the team', async () => {
    // A mentor lets the class in. The student has no e-mail address and no real name.
    const mentor = await tab('mentor:Newt Works');
    await mentor.page.goto('/teams/Newt%20Works');
    await mentor.page.click('text=Make a code');
    const join = (await mentor.page.textContent('.shown__value')) ?? '';
    const student = await tab(undefined, PHONE);
    await student.page.goto('/start');
    await student.page.click('text=Join your team with its code');
    await student.page.fill('#code', join);
    await student.page.fill('#name', 'Otter');
    await student.page.keyboard.press('Enter');
    const own = (await student.page.textContent('.shown__value')) ?? '';
    await student.page.click('text=I have written it down');
    assert.equal(await title(student.page), 'Newt Works: your parts');

    // A bad part, longer than any bed here. The page says what to change.
    await student.page.click('text=Send a part');
    await student.page.setInputFiles('#file', stl('long_arm.stl', 420, 20, 10));
    await student.page.check('#claim-own');
    await Promise.all([student.page.waitForURL(/\/parts\/\d+$/), student.page.click('button.do--main')]);
    const bad = student.page.url();
    assert.doesNotMatch(await title(student.page), /Yes, we can print/);
    assert.match((await student.page.textContent('main')) ?? '', /420/, 'what is wrong has its number');
    assert.deepEqual(await axeFinds(student.page), []);

    // Fixed, it gets a pledge.
    await student.page.click('a[href*="again="]');
    await student.page.setInputFiles('#file', stl('short_arm.stl', 60, 30, 12));
    await student.page.check('#claim-own');
    await Promise.all([student.page.waitForURL((url) => /\/parts\/\d+$/.test(url.pathname) && url.href !== bad), student.page.click('button.do--main')]);
    assert.equal(await title(student.page), 'Yes, we can print this part.');
    assert.match((await student.page.textContent('#ticket')) ?? '', /Pledge given[\s\S]*in 10/);
    const part = new URL(student.page.url()).pathname;
    const plate = Number(await student.page.locator('#plates tbody tr th').first().textContent());
    await student.page.goto(new URL(bad).pathname);
    await student.page.goto(part);

    const chief = await tab('coordinator');
    await chief.page.goto('/promises');
    const promise = chief.page.locator('tr', { has: chief.page.locator(`a[href="${part}"]`) });
    assert.equal(await promise.count(), 1, 'the coordinator sees the promise');
    assert.doesNotMatch((await promise.textContent()) ?? '', /At risk/);

    // The bench has all of it for a day, and then no network.
    const where = (await student.page.locator('#plates tbody tr td').nth(1).textContent()) ?? '';
    assert.match(where, /Brindlemoor/, 'printed where the team is, so that the box goes over the counter');
    const bench = await tab('operator:brindlemoor', TABLET);
    await bench.page.goto(SHEET);
    await kept(bench.page);
    wire.cut();
    await bench.page.reload();
    await bench.page.waitForSelector('#unsent:has-text("No network")');
    for (const does of [`start:${plate}`, `look:${plate}`]) {
      await bench.page.click(`${line(does)} form button.tick`);
      await bench.page.waitForSelector(`${line(does)}.job--unsent`);
    }
    await bench.page.click(`${line(`off:${plate}`)} a[href*="trouble"]`);
    await bench.page.check('input[value="Layers are shifted"]');
    await bench.page.check('input[name=out][value=yes]');
    await bench.page.click('button.do--main');
    await bench.page.waitForURL(/run-sheets/);
    await unsent(bench.page, 3);

    // The program is killed before any of it arrives, and once more right after.
    await served.kill();
    await served.start();
    wire.mend();
    await bench.page.click('text=Send now');
    await unsent(bench.page, 0);
    // Killed again; and nobody is at the bench for most of an hour.
    await served.kill();
    await served.start('2027-03-09T11:25:00+01:00');
    await student.page.goto(part);
    // On a shared laptop a student is signed out by then, and comes back with the code of their own.
    assert.match(student.page.url(), /start/);
    await student.page.goto('/come-back');
    await student.page.fill('#code', own);
    await student.page.keyboard.press('Enter');
    await student.page.waitForURL(/\/parts$/);
    await student.page.goto(part);
    assert.match((await student.page.textContent('#plates')) ?? '', /failed[\s\S]*planned/, 'it is made again');
    assert.match(await title(student.page), /at risk|late/i);
    await shoot(student.page, 'whole-risk-student');
    await chief.page.goto('/promises');
    assert.match((await promise.textContent()) ?? '', /At risk/, 'the risk comes');
    await chief.page.goto('/region');
    assert.match(await title(chief.page), /at risk/);
    await shoot(chief.page, 'whole-risk');

    // The plate that takes its place: started, looked at, inspected copy by copy, boxed.
    const rows = student.page.locator('#plates tbody tr', { hasText: 'planned' });
    const again = Number(await rows.first().locator('th').textContent());
    await bench.page.goto(SHEET);
    for (const does of [`start:${again}`, `look:${again}`]) {
      await bench.page.click(`${line(does)} form button.tick`);
      await bench.page.waitForSelector(`${line(does)}.job--done:not(.job--unsent)`);
    }
    await student.page.waitForFunction(() => /running/i.test(document.querySelector('#plates')?.textContent ?? ''), undefined, { timeout: 15_000 });
    await shoot(student.page, 'whole-running');
    await bench.page.click(`${line(`off:${again}`)} a[href*="inspect"]`);
    await bench.page.check('input[value=good]');
    await Promise.all([bench.page.waitForURL((url) => !url.pathname.includes('inspect')), bench.page.click('button.do--main')]);
    await bench.page.click(`${line(`box:${again}`)} form button.tick`);
    await bench.page.waitForSelector(`${line(`box:${again}`)}.job--done:not(.job--unsent)`);

    // Only the team can tell the code of its box.
    await student.page.waitForSelector('.boxcode--told', { timeout: 15_000 });
    const code = ((await student.page.textContent('.boxcode--told')) ?? '').replace(/^Code: /, '');
    assert.match(code, /^[A-Z0-9]{5}$/);
    await mentor.page.goto(part);
    assert.ok(((await mentor.page.textContent('main')) ?? '').includes(code), 'the mentor sees it too');
    for (const page of [bench.page, chief.page]) {
      await page.goto(page === bench.page ? SHEET : part);
      assert.ok(!(await page.content()).includes(code), 'nobody else does');
    }
    await bench.page.goto(SHEET);
    const hand = line(`hand:${again}`);
    await bench.page.fill(`${hand} input[name=code]`, code.split('').reverse().join('') === code ? 'BBBBB' : code.split('').reverse().join(''));
    await bench.page.click(`${hand} form button.tick >> nth=0`);
    await bench.page.waitForSelector('#unsent:has-text("not the code of box")');
    await shoot(bench.page, 'whole-wrong-code');
    // A wrong code hands nothing over: the line is open again once the sheet has come anew.
    await bench.page.waitForSelector(`${hand}:not(.job--done)`);
    await bench.page.goto(SHEET);
    await bench.page.fill(`${hand} input[name=code]`, code.toLowerCase());
    await bench.page.click(`${hand} form button.tick >> nth=0`);
    await bench.page.waitForSelector(`${hand}.job--done:not(.job--unsent)`);
    await shoot(bench.page, 'whole-handed');

    // Everybody sees it, also after one more kill.
    await served.kill();
    await served.start('2027-03-09T11:25:00+01:00');
    await student.page.goto(part);
    await shoot(student.page, 'whole-done');
    assert.match(await title(student.page), /^The promise was kept/);
    await mentor.page.goto('/parts');
    const over = mentor.page.locator('section', { hasText: 'Handed over' }).locator(`a[href="${part}"]`);
    assert.equal(await over.count(), 1, 'the mentor sees it among what is handed over');
    await chief.page.goto('/promises');
    assert.equal(await promise.count(), 0, 'the risk has gone');
    await chief.page.goto('/region');
    assert.doesNotMatch((await chief.page.textContent('main')) ?? '', /long arm/i);
    const faults = [...student.faults, ...mentor.faults, ...chief.faults, ...bench.faults];
    assert.deepEqual(faults.filter((fault) => !/ERR_|Failed to load|network|event-stream|htmx:(sendError|afterRequest)/i.test(fault)), []);
    for (const one of [student, mentor, chief, bench]) await one.context.close();
  });
});
