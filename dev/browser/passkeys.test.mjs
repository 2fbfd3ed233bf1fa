// Passkeys in a real browser with a device of Chromium's own, by keyboard alone: added, used, removed.

import assert from 'node:assert/strict';
import { after, before, describe, it } from 'node:test';
import { axeFinds, launch, open, sideways, watched } from './browser.mjs';

const base = process.env['PARTPLEDGE_URL'] ?? '';
assert.ok(base, 'PARTPLEDGE_URL names the running program; `cargo xtask check` sets it');
// Browsers make no passkeys for a number.
const named = base.replace('127.0.0.1', 'localhost');

const PASSWORD = 'four words by the weir';

/** @typedef {import('playwright-core').Page} Page */

/** @type {import('playwright-core').Browser} */
let browser;
before(async () => {
  browser = await launch();
});
after(() => browser.close());

/** A link for one more adult at a bench. */
async function invitation() {
  const context = await open(browser, named, { width: 1366, height: 768 }, 'coordinator');
  const page = await context.newPage();
  await page.goto('/people');
  await page.selectOption('#role', 'operator:brindlemoor');
  await page.click('text=Make the link');
  const link = (await page.textContent('.shown__value')) ?? '';
  await context.close();
  return new URL(link).pathname;
}

/** Goes on with Tab until the focus is on what `selector` names. @param {Page} page @param {string} selector */
async function tabTo(page, selector) {
  for (let i = 0; i < 80; i += 1) {
    await page.keyboard.press('Tab');
    if (await page.evaluate((selector) => document.activeElement?.matches(selector), selector)) return;
  }
  assert.fail(`Tab does not lead to ${selector}`);
}

for (const viewport of [{ width: 1366, height: 768 }, { width: 360, height: 800 }]) {
  describe(`passkeys at ${viewport.width} px`, () => {
    it('are added, used to sign in and removed, by keyboard alone', async () => {
      const context = await open(browser, named, viewport);
      const { page, faults } = await watched(context, named);
      const sound = async () => assert.deepEqual([...faults, ...(await sideways(page)), ...(await axeFinds(page))], []);
      await page.goto(await invitation());
      await page.fill('#name', 'Wren');
      const email = `wren-${viewport.width}-${Date.now()}@example.org`;
      await page.fill('#email', email);
      await page.fill('#password', PASSWORD);
      await page.click('button.do--main');
      await page.waitForURL(/run-sheets\/brindlemoor/);

      const wire = await context.newCDPSession(page);
      await wire.send('WebAuthn.enable');
      const { authenticatorId } = await wire.send('WebAuthn.addVirtualAuthenticator', {
        options: {
          protocol: 'ctap2',
          transport: 'internal',
          hasResidentKey: true,
          hasUserVerification: true,
          isUserVerified: true,
          automaticPresenceSimulation: true,
        },
      });
      const unlocks = (/** @type {boolean} */ isUserVerified) =>
        wire.send('WebAuthn.setUserVerified', { authenticatorId, isUserVerified });

      await page.goto('/account');
      await page.waitForSelector('[data-passkey-make]:visible');
      assert.equal(await page.isVisible('[data-no-passkey]'), false);
      await sound();
      await tabTo(page, '#passkey_name');
      await page.keyboard.type('School laptop');
      await tabTo(page, '#passkey_password');
      await page.keyboard.type('not this one');
      await page.keyboard.press('Enter');
      await page.waitForSelector('.field--bad #passkey_password');
      assert.match((await page.textContent('[data-passkey-said]')) ?? '', /not the password/);
      assert.equal(await page.evaluate(() => document.activeElement?.id), 'passkey_password');
      assert.equal(await page.getAttribute('#passkey_password', 'aria-invalid'), 'true');
      assert.equal(await page.getAttribute('#passkey_name', 'aria-invalid'), null);
      // What the server answered is no page, and stands in the console of a browser alone.
      assert.match(faults.splice(0).join(), /^console: .*422.*passkeys\/ask\)$/);
      await sound();
      await page.keyboard.press('Control+a');
      await page.keyboard.type(PASSWORD);
      await page.keyboard.press('Enter');
      await page.waitForSelector('text=Your passkey is added.');
      const row = page.locator('li', { hasText: 'School laptop' });
      assert.match((await row.textContent()) ?? '', /not used yet/);
      await sound();
      const { credentials } = await wire.send('WebAuthn.getCredentials', { authenticatorId });
      assert.deepEqual(
        credentials.map((one) => [one.rpId, one.isResidentCredential]),
        [['localhost', true]],
      );

      await tabTo(page, 'form[action="/sign-out"] button');
      await page.keyboard.press('Enter');
      await page.waitForURL(/\/start$/);
      await page.goto('/sign-in');
      await page.waitForSelector('[data-passkey]:visible');
      await sound();
      await unlocks(false);
      await tabTo(page, '[data-passkey] button');
      await page.keyboard.press('Enter');
      await page.waitForSelector('text=Nothing was done');
      await sound();
      await unlocks(true);
      await page.keyboard.press('Enter');
      await page.waitForURL(/run-sheets\/brindlemoor/);
      await page.goto('/account');
      assert.equal(await page.locator('dd', { hasText: email }).count(), 1);
      assert.match((await row.textContent()) ?? '', /last used/);
      await tabTo(page, 'form[action^="/account/passkeys/"] button');
      await page.keyboard.press('Enter');
      await page.waitForURL(/\/account#passkeys$/);
      await page.waitForSelector('[data-passkey-make]:visible');
      assert.equal(await row.count(), 0);
      await sound();

      await tabTo(page, 'form[action="/sign-out"] button');
      await page.keyboard.press('Enter');
      await page.waitForURL(/\/start$/);
      await page.goto('/sign-in');
      await tabTo(page, '[data-passkey] button');
      await page.keyboard.press('Enter');
      await page.waitForSelector('.errors');
      assert.match((await page.textContent('.errors')) ?? '', /this passkey doesn’t work here/);
      assert.match((await page.textContent('footer')) ?? '', /not signed in/i);
      await sound();
      await context.close();
    });
  });
}

it('without a script, and at a number, nothing of passkeys is there to press', async () => {
  for (const [where, javaScriptEnabled] of /** @type {const} */ ([
    [named, false],
    [base, true],
  ])) {
    const context = await open(browser, where, { width: 360, height: 800 }, undefined, { javaScriptEnabled });
    const page = await context.newPage();
    await page.goto('/sign-in');
    assert.equal(await page.getByText(/passkey/i).filter({ visible: true }).count(), 0, where);
    assert.equal(await page.isVisible('#password'), true);
    await context.close();
  }
});
