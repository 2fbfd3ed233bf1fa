// People in a real browser: a code on the board, a nickname, a code of one's own; what is wrong with
// a form; what is shown once. By keyboard where that is how it is done, and looked at by axe.

import assert from 'node:assert/strict';
import { after, before, describe, it } from 'node:test';
import { axeFinds, launch, open, sideways, watched } from './browser.mjs';

const base = process.env['PARTPLEDGE_URL'] ?? '';
assert.ok(base, 'PARTPLEDGE_URL names the running program; `cargo xtask check` sets it');

const LAPTOP = { width: 1366, height: 768 };
const PHONE = { width: 360, height: 800 };

for (const largeText of [false, true]) {
  describe(largeText ? 'people with text at 200 %' : 'people', () => {
    /** @type {import('playwright-core').Browser} */
    let browser;
    before(async () => {
      browser = await launch({ largeText });
    });
    after(() => browser.close());

    /** @param {string | undefined} as */
    async function tab(as, viewport = LAPTOP) {
      const context = await open(browser, base, viewport, as);
      return { context, ...(await watched(context, base)) };
    }

    /** @param {import('playwright-core').Page} page @param {string[]} faults */
    async function sound(page, faults) {
      assert.deepEqual([...faults, ...(await sideways(page)), ...(await axeFinds(page))], []);
    }

    it('a class joins with the code on the board, on a phone', async () => {
      const mentor = await tab('mentor:Bogwheel');
      await mentor.page.goto('/teams/Bogwheel');
      await mentor.page.click('text=Make a code');
      const code = (await mentor.page.textContent('.shown__value')) ?? '';
      assert.match(code, /^[A-Z0-9]{4}-[A-Z0-9]{4}$/);
      await sound(mentor.page, mentor.faults);

      const student = await tab(undefined, PHONE);
      await student.page.goto('/start');
      await student.page.click('text=Join your team with its code');
      await student.page.fill('#code', 'QQQQ');
      await student.page.fill('#name', 'otter@example.org');
      await student.page.keyboard.press('Enter');
      await student.page.waitForSelector('.errors');
      assert.equal(await student.page.inputValue('#code'), 'QQQQ', 'what was typed is kept');
      await sound(student.page, student.faults);
      await student.page.click('.errors a');
      const name = `Otter ${largeText ? 'large' : 'small'} ${Date.now() % 10_000}`;
      await student.page.fill('#name', name);
      await student.page.fill('#code', code.toLowerCase());
      await student.page.keyboard.press('Enter');
      await student.page.waitForSelector('.shown__value');
      assert.equal(await student.page.textContent('h1'), 'You are in: welcome to Bogwheel.');
      const own = (await student.page.textContent('.shown__value')) ?? '';
      await sound(student.page, student.faults);
      await student.page.click('text=I have written it down');
      await student.page.waitForURL(/\/parts$/);
      assert.equal(await student.page.textContent('h1'), 'Bogwheel: your parts');
      await student.page.click('text=Sign out');
      await student.page.waitForURL(/\/start$/);

      await student.page.goto('/come-back');
      await student.page.fill('#code', own);
      await student.page.keyboard.press('Enter');
      await student.page.waitForURL(/\/parts$/);
      assert.match((await student.page.textContent('footer')) ?? '', new RegExp(name));

      await mentor.page.goto('/teams/Bogwheel');
      await sound(mentor.page, mentor.faults);
      assert.ok(await mentor.page.locator('li', { hasText: name }).first().isVisible());
      await mentor.context.close();
      await student.context.close();
    });

    it('an adult is told what is wrong and loses nothing but the password', async () => {
      const chief = await tab('coordinator');
      await chief.page.goto('/people');
      await chief.page.selectOption('#role', 'operator:brindlemoor');
      await chief.page.click('text=Make the link');
      const link = (await chief.page.textContent('.shown__value')) ?? '';
      await sound(chief.page, chief.faults);

      const adult = await tab(undefined, PHONE);
      await adult.page.goto(new URL(link).pathname);
      await adult.page.fill('#name', 'Wren');
      await adult.page.fill('#email', `wren-${Date.now()}@example.org`);
      await adult.page.fill('#password', 'short');
      await adult.page.click('button.do--main');
      await adult.page.waitForSelector('.errors');
      assert.equal(await adult.page.inputValue('#name'), 'Wren');
      assert.equal(await adult.page.inputValue('#password'), '');
      await sound(adult.page, adult.faults);
      await adult.page.fill('#password', 'four words by the weir');
      await adult.page.click('button.do--main');
      await adult.page.waitForURL(/run-sheets\/brindlemoor/);
      await chief.context.close();
      await adult.context.close();
    });
  });
}
