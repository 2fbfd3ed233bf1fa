// The story a new user lives through, in a real browser: a file in, a ticket out, trouble at the
// bench, the ticket changing by itself. With script, without script, and by keyboard alone.

import assert from 'node:assert/strict';
import { after, before, describe, it } from 'node:test';
import { launch, open, watched } from './browser.mjs';

const base = process.env['PARTPLEDGE_URL'] ?? '';
assert.ok(base, 'PARTPLEDGE_URL names the running program; `cargo xtask check` sets it');

const LAPTOP = { width: 1366, height: 768 };
const PHONE = { width: 360, height: 800 };

/** A box as an ASCII STL, `size` mm wide and deep and half as high. @param {number} size */
function box(size) {
  const [w, h] = [size, size / 2];
  const p = [[0, 0, 0], [w, 0, 0], [w, w, 0], [0, w, 0], [0, 0, h], [w, 0, h], [w, w, h], [0, w, h]];
  const t = [
    [0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7], [0, 1, 5], [0, 5, 4],
    [1, 2, 6], [1, 6, 5], [2, 3, 7], [2, 7, 6], [3, 0, 4], [3, 4, 7],
  ];
  const facet = (/** @type {number[]} */ corners) =>
    `facet normal 0 0 0\nouter loop\n${corners.map((i) => `vertex ${p[i]?.join(' ')}`).join('\n')}\nendloop\nendfacet`;
  return `solid box\n${t.map(facet).join('\n')}\nendsolid box\n`;
}

/** @param {string} name @param {number} size */
const file = (name, size) => ({ name, mimeType: 'model/stl', buffer: Buffer.from(box(size)) });

describe('the story', () => {
  /** @type {import('playwright-core').Browser} */
  let browser;
  before(async () => {
    browser = await launch();
  });
  after(() => browser.close());

  /** @param {string | undefined} as @param {import('playwright-core').BrowserContextOptions} [more] */
  async function tab(as, viewport = LAPTOP, more = {}) {
    const context = await open(browser, base, viewport, as, more);
    return { context, ...(await watched(context, base)) };
  }

  /**
   * Sends a box by the form; the page that answers.
   *
   * @param {import('playwright-core').Page} page
   * @param {{ name: string, size: number, copies?: number }} part
   */
  async function send(page, { name, size, copies = 1 }) {
    await page.goto('/parts/send');
    await page.setInputFiles('#file', file(name, size));
    await page.fill('#copies', String(copies));
    await page.check('#claim-own');
    await Promise.all([page.waitForURL(/\/parts\/\d+$/), page.click('button.do--main')]);
  }

  it('somebody new chooses a team, sends a file and holds a ticket', async () => {
    const { context, page, faults } = await tab(undefined);
    await page.goto('/');
    assert.equal(await page.textContent('h1'), 'Ambrel Valley: who are you?');
    await page.selectOption('#team', 'student:Bogwheel');
    await page.click('text=See the team’s parts');
    assert.equal(await page.textContent('h1'), 'Bogwheel: your parts');
    const began = Date.now();
    await send(page, { name: 'story_block.stl', size: 30, copies: 2 });
    assert.ok(Date.now() - began < 60_000, 'within a minute');
    assert.equal(await page.textContent('h1'), 'Yes, we can print this part.');
    assert.match((await page.textContent('#ticket')) ?? '', /Pledge given[\s\S]*by \d\d:\d\d[\s\S]*in 10/);
    assert.equal(await page.locator('[aria-current=step]').textContent(), await page.locator('.stop--here').textContent());
    const address = page.url();
    await page.goto('/parts');
    assert.ok(await page.locator('a', { hasText: 'Story block' }).isVisible());
    await page.goto(address);
    // A name of one long word: the list is no wider than a phone, and on paper no column is lost.
    await send(page, { name: `${'longest'.repeat(8)}.stl`, size: 20 });
    const plate = (await page.locator('#plates tbody tr th').first().textContent())?.trim();
    await page.setViewportSize(PHONE);
    await page.goto('/parts');
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), PHONE.width);
    const bench = await tab('coordinator', { width: 700, height: 1000 });
    await bench.page.emulateMedia({ media: 'print' });
    await bench.page.goto(`/plates/${plate}`);
    const cut = await bench.page.locator('.plate .scroll').first().evaluate((one) => one.scrollWidth - one.clientWidth);
    assert.ok(cut <= 1, `${cut} px of the table are lost on paper`);
    await bench.context.close();
    assert.deepEqual(faults, []);
    await context.close();
  });

  it('a tick and a failure at the bench reach the open ticket by themselves', async () => {
    const team = await tab('student:Newt Works');
    await send(team.page, { name: 'live_block.stl', size: 24 });
    const row = team.page.locator('#plates tbody tr').first();
    const plate = Number(await row.locator('th').textContent());
    const where = (await row.locator('td').nth(1).textContent()) ?? '';
    const hosts = await tab('coordinator');
    await hosts.page.goto('/run-sheets');
    await hosts.page.click(`a:text-is("${where.split(', ')[1]}")`);
    // It may be planned for another day: then that day's sheet has it.
    const sheet = hosts.page.url();
    const form = (/** @type {Record<string, string>} */ fields) => ({ form: fields, headers: { Origin: base } });
    const started = await hosts.context.request.post(`${sheet}/do`, form({ plate: String(plate), act: 'start', key: `story-${plate}-start` }));
    assert.ok(started.ok());
    await team.page.waitForSelector('h1:text-is("Your part is being printed.")', { timeout: 10_000 });
    await hosts.page.goto(`${sheet}/trouble?plate=${plate}`);
    await hosts.page.check('input[value="Layers are shifted"]');
    await hosts.page.check('input[name=out][value=yes]');
    await Promise.all([hosts.page.waitForURL(/run-sheets/), hosts.page.click('button.do--main')]);
    await team.page.waitForFunction(() => document.querySelector('#plates')?.textContent?.includes('failed'), undefined, { timeout: 10_000 });
    const says = (await team.page.textContent('#plates')) ?? '';
    assert.match(says, /planned/, 'the reprint has its place');
    // At risk, or planned again in time; the title comes by itself, after the plates or before them.
    await team.page.waitForFunction(() => /at risk|will be late|Yes, we can print/.test(document.querySelector('h1')?.textContent ?? ''), undefined, { timeout: 10_000 });
    assert.deepEqual([...team.faults, ...hosts.faults], []);
    await team.context.close();
    await hosts.context.close();
  });

  it('works without script from file to withdrawal', async () => {
    const { context, page } = await tab('student:Eel Drive', PHONE, { javaScriptEnabled: false });
    await send(page, { name: 'plain.stl', size: 20 });
    assert.equal(await page.textContent('h1'), 'Yes, we can print this part.');
    assert.ok(await page.locator('.part image').isVisible(), 'the drawing is a picture');
    await page.click('text=Withdraw the part');
    await page.click('button:text-is("Withdraw it")');
    assert.equal(await page.textContent('h1'), 'You called this part back.');
    await page.goto('/parts/send');
    await page.fill('#copies', 'many');
    await page.click('button.do--main');
    assert.equal(await page.textContent('.errors h2'), 'There is a problem');
    await page.click('.errors a >> nth=1');
    assert.equal(await page.inputValue('#copies'), 'many', 'what was typed is still there');
    await context.close();
  });

  it('works by keyboard alone', async () => {
    const { context, page, faults } = await tab('student:Pike Circuit');
    await page.goto('/parts');
    await page.keyboard.press('Tab');
    assert.equal(await page.evaluate(() => document.activeElement?.textContent), 'Skip to the main part');
    await tabTo(page, 'Send a part');
    await page.keyboard.press('Enter');
    await page.waitForURL(/\/parts\/send/);
    await page.setInputFiles('#file', file('keys.stl', 22));
    await page.check('#claim-own');
    await page.focus('#copies');
    await page.keyboard.press('Tab');
    await page.keyboard.press('ArrowDown');
    assert.equal(await page.isChecked('input[value=PETG]'), true, 'arrows choose a plastic');
    await tabTo(page, 'Send and judge');
    await Promise.all([page.waitForURL(/\/parts\/\d+$/), page.keyboard.press('Enter')]);
    assert.equal(await page.textContent('h1'), 'Yes, we can print this part.');
    await tabTo(page, 'Turn it in 3D');
    await Promise.all([page.waitForURL(/turn/), page.keyboard.press('Enter')]);
    assert.deepEqual(faults, []);
    await context.close();
  });

  it('a finding shows its picture and teaches, without script too', async () => {
    for (const javaScriptEnabled of [true, false]) {
      const { context, page, faults } = await tab('student:Sluice Crew', PHONE, { javaScriptEnabled });
      await page.goto('/parts/13');
      const first = page.locator('.finding').first();
      const picture = first.locator('.finding__pic img');
      await picture.scrollIntoViewIfNeeded();
      await page.waitForLoadState('networkidle');
      assert.ok(((await picture.boundingBox())?.width ?? 0) >= 300, 'as wide as the phone');
      assert.match((await picture.getAttribute('alt')) ?? '', /pencil[\s\S]*to one scale/);
      const answer = await context.request.get((await picture.getAttribute('src')) ?? '');
      assert.match(answer.headers()['content-type'] ?? '', /svg/);
      assert.match(await answer.text(), /your part: 38\.1 mm/);
      if (javaScriptEnabled) {
        assert.ok(await picture.evaluate((img) => img instanceof HTMLImageElement && img.naturalWidth > 0), 'it is drawn');
      }
      await first.locator('summary', { hasText: 'Learn why' }).click();
      assert.ok(await first.locator('text=Set your drawing to millimetres').isVisible());
      assert.deepEqual(faults, []);
      await context.close();
    }
  });

  it('a part that looks like a weapon waits for a person, is refused, appealed and let through, without script', async () => {
    const team = await tab('student:Frogspan', PHONE, { javaScriptEnabled: false });
    const region = await tab('coordinator', undefined, { javaScriptEnabled: false });
    await send(team.page, { name: 'butter_knife.stl', size: 26 });
    const address = team.page.url();
    const number = address.split('/').at(-1);
    assert.equal(await team.page.textContent('h1'), 'We look at this part before we promise anything.');
    await region.page.goto('/review');
    await region.page.click('text=Butter knife, Frogspan');
    await region.page.click('button:text-is("Refuse it")');
    assert.equal(await region.page.textContent('.errors h2'), 'There is a problem');
    await region.page.check('form[action$="/refuse"] input[value=weapon-like]');
    await region.page.fill('#refuse-words', 'It looks sharp.');
    await region.page.click('button:text-is("Refuse it")');
    await team.page.goto(address);
    assert.match((await team.page.textContent('#lead')) ?? '', /like a weapon[\s\S]*looks sharp/);
    await team.page.click('a:text-is("Ask for a second look")');
    await team.page.fill('#words', 'It cuts butter and is blunt.');
    await team.page.click('button:text-is("Ask for a second look")');
    await region.page.goto(`/review/${number}`);
    await region.page.click('form[action$="/pass"] button');
    await region.page.waitForLoadState();
    await team.page.goto(address);
    assert.equal(await team.page.textContent('h1'), 'Yes, we can print this part.');
    await send(team.page, { name: 'twice.stl', size: 27 });
    await team.page.goto('/parts/send');
    await team.page.setInputFiles('#file', file('twice.stl', 27));
    await team.page.check('#claim-own');
    await team.page.click('button.do--main');
    assert.match((await team.page.textContent('h1')) ?? '', /Again, or a mistake/);
    await Promise.all([team.page.waitForURL(/\/parts\/\d+$/), team.page.click('button:text-is("Make it again")')]);
    await team.context.close();
    await region.context.close();
  });

  it('two clicks on send are one request', async () => {
    const { context, page } = await tab('student:Frogspan');
    await page.goto('/parts/send');
    await page.setInputFiles('#file', file('double.stl', 18));
    await page.check('#claim-own');
    await page.evaluate(() => {
      const button = document.querySelector('button.do--main');
      if (button instanceof HTMLElement) {
        button.click();
        button.click();
      }
    });
    await page.waitForURL(/\/parts\/\d+$/);
    await page.goto('/parts');
    assert.equal(await page.locator('a', { hasText: 'Double' }).count(), 1);
    await context.close();
  });

  it('turns the part in 3D, and keeps the still picture where that is impossible', async () => {
    const { context, page, faults } = await tab('student:Peat Pistons');
    await page.goto('/parts/14/turn');
    await page.waitForSelector('[data-part-view][data-at-rest]', { timeout: 30_000 });
    const canvas = page.locator('canvas');
    const first = await canvas.screenshot();
    await canvas.focus();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('ArrowLeft');
    await page.waitForSelector('[data-part-view][data-at-rest]');
    await page.waitForTimeout(400);
    assert.notDeepEqual(await canvas.screenshot(), first, 'it has turned');
    assert.deepEqual(faults, []);
    await context.close();
    const flat = await launch({ webgl: false });
    const plain = await open(flat, base, LAPTOP, 'student:Peat Pistons');
    const still = await plain.newPage();
    await still.goto('/parts/14/turn');
    await still.waitForSelector('[data-no-3d]:not([hidden])', { timeout: 30_000 });
    assert.ok(await still.locator('[data-still]').isVisible());
    await flat.close();
  });

  it('the first view is small and asks nothing of another host', async () => {
    const { context, page, faults } = await tab('student:Newt Works');
    /** @type {import('playwright-core').Response[]} */
    const answers = [];
    page.on('response', (answer) => answers.push(answer));
    await page.goto('/parts/1', { waitUntil: 'load' });
    let bytes = 0;
    for (const answer of answers) {
      const kind = answer.headers()['content-type'] ?? '';
      // The live stream has no end, and so no size.
      if (/font|image|event-stream/.test(kind)) continue;
      bytes += (await answer.request().sizes()).responseBodySize;
    }
    assert.ok(bytes > 5_000 && bytes < 60_000, `${bytes} bytes without fonts and pictures`);
    assert.deepEqual(faults, []);
    await context.close();
  });
});

/**
 * Presses Tab until the focus is on something with that text.
 *
 * @param {import('playwright-core').Page} page
 * @param {string} text
 */
async function tabTo(page, text) {
  for (let i = 0; i < 80; i += 1) {
    await page.keyboard.press('Tab');
    const on = await page.evaluate(() => document.activeElement?.textContent?.trim());
    if (on === text) return;
  }
  assert.fail(`nothing with “${text}” can be reached by Tab`);
}
