// Critical dimensions at the bench without the server: which boxes open, and what is asked before it is kept.

import assert from 'node:assert/strict';
import { after, afterEach, before, beforeEach, describe, it } from 'node:test';
import { launch, open, watched } from './browser.mjs';
import { serve } from './fixture.mjs';

const SIZE = { width: 820, height: 900 };

/** @type {import('./fixture.mjs').Fixture} */
let site;
/** @type {import('playwright-core').Browser} */
let browser;
/** @type {import('playwright-core').BrowserContext} */
let context;
/** @type {import('playwright-core').Page} */
let page;

before(async () => {
  browser = await launch({ webgl: false });
});
after(() => browser.close());
beforeEach(async () => {
  site = await serve();
  context = await open(browser, site.url, SIZE);
  ({ page } = await watched(context, site.url));
});
afterEach(async () => {
  await context.close();
  await site.close();
});

/** @param {string} fields @param {string} more attributes @param {string} id */
const form = (fields, more, id) =>
  `<form id="${id}" method="post" action="/run-sheets/x/do" data-queue="Done" ${more}>${fields}<button>Do it</button></form>`;

/** @param {string} name @param {string} value */
const hidden = (name, value) => `<input type="hidden" name="${name}" value="${value}">`;

describe('a sheet with what is not sent', () => {
  const STEPS = hidden('plate', '7') + hidden('day', '2027-03-09') + hidden('key', 'tablet-0001');
  const BOX = '<p class="tick tick--still">Later</p><template data-after="off:7"><form data-queue="Boxed"><button>Boxed</button></form></template>';

  /** Shares 7 and 8 of plate 7; only 7 has a critical dimension. @param {string} fields */
  function sheet(fields) {
    const lines = ['7', '8'].map((share) =>
      `<li class="job job--waits" data-does="box:${share}"><p>Box ${share}</p><div class="job__acts">${BOX}</div></li>`);
    site.page(
      `${form(STEPS + fields, '', 'deed')}<section id="unsent" data-bench="x" hidden><i id="early"></i></section>
      <div id="sheet" data-now="${Date.now()}" data-zone="Europe/Berlin"><ol class="jobs">
      <li class="job job--ready" data-does="off:7" data-measures="7"><p>Off</p><div class="job__acts"></div></li>${lines.join('')}</ol></div>`,
    );
  }

  /** Boxes that can be closed once that is kept. @param {string} fields */
  async function opened(fields) {
    sheet(fields);
    await page.goto('/');
    // The list is filled once forms are taken over.
    await page.waitForSelector('#early', { state: 'detached' });
    await page.click('#deed button');
    await page.waitForSelector('[data-does="off:7"].job--unsent');
    return page.$$eval('[data-does^="box:"]:not(.job--waits):has(form)', (all) => all.map((one) => one.getAttribute('data-does')));
  }

  const failed = hidden('running', '1') + hidden('reason', 'Layers are shifted');
  const off = hidden('act', 'off');

  it('keeps the box of a failed plate shut when what is good of it is held', async () => {
    assert.deepEqual(await opened(failed + hidden('good-7', '2') + hidden('good-8', '1')), ['box:8']);
  });
  it('keeps the box of a failed plate shut when none is good', async () => {
    assert.deepEqual(await opened(failed + hidden('good-7', '0') + hidden('good-8', '1')), ['box:8']);
  });
  it('opens the boxes of a plate that was counted', async () => {
    assert.deepEqual(await opened(off + hidden('good-7', '2') + hidden('good-8', '1')), ['box:7', 'box:8']);
  });
  it('keeps a box shut while a copy of it is reworked', async () => {
    const found = hidden('copy-7-1', 'good') + hidden('copy-7-2', 'rework') + hidden('copy-8-1', 'good');
    assert.deepEqual(await opened(off + found), ['box:8']);
  });
});

describe('sizes of a copy', () => {
  const NAME = 'size-7-1-1';
  const SIZES = `<fieldset data-measured="copy-7-1"><p data-says="${NAME}" hidden></p>
    <input name="${NAME}" data-least="7950" data-most="8050">
    <select name="not-${NAME}"><option value="">Choose</option><option value="no-tool">No tool</option></select>
    <input type="radio" name="copy-7-1" value="good" checked>`;
  const REWORK = '<input type="radio" name="copy-7-1" value="rework">';

  /**
   * What is wrong when the form is sent with that; nothing when it was kept.
   *
   * @param {{ more?: string, rework?: boolean, size?: string, not?: string }} how
   */
  async function told({ more = '', rework = false, size = '', not = '' }) {
    const copy = `${SIZES}${rework ? REWORK : ''}</fieldset>`;
    site.page(form(hidden('act', 'settle') + hidden('plate', '7') + copy, more, 'deed'));
    await page.goto('/');
    // Forms are taken over once a size is judged while it is typed.
    while (await page.locator('[data-says]').isHidden()) {
      await page.fill(`[name="${NAME}"]`, '9');
      await page.waitForTimeout(50);
    }
    await page.fill(`[name="${NAME}"]`, size);
    await page.selectOption(`[name="not-${NAME}"]`, not);
    const before = site.posted.length;
    await page.click('#deed button');
    for (;;) {
      const wrong = await page.$eval(`[name="${NAME}"]`, (input) => (input instanceof HTMLInputElement ? input.validationMessage : ''));
      if (wrong || site.posted.length > before) return wrong;
      await page.waitForTimeout(50);
    }
  }

  it('are asked for, or a reason', async () => {
    assert.match(await told({}), /Measure it, or say why/);
    assert.equal(site.posted.length, 0);
    assert.equal(await told({ not: 'no-tool' }), '');
    assert.equal(site.posted.length, 1);
  });
  it('are not asked for when the file of it was replaced', async () => {
    assert.equal(await told({ more: 'data-unmeasured' }), '');
    assert.equal(site.posted.length, 1);
  });
  it('are asked for again, whatever the reason, where one was outside', async () => {
    const more = `data-again="${NAME}"`;
    for (const how of [{ more }, { more, not: 'no-tool' }, { more: `${more} data-unmeasured` }]) {
      assert.match(await told(how), /Measure it again/);
    }
    assert.equal(site.posted.length, 0);
    assert.equal(await told({ more, size: '8.05' }), '');
    assert.equal(site.posted.length, 1);
  });
  it('outside ask for rework only where that can be said', async () => {
    assert.match(await told({ size: '8.17', rework: true }), /0.12 mm too large. Rework or scrap\?/);
    assert.match(await told({ size: '8.17' }), /0.12 mm too large. Change it and measure it again/);
    assert.equal(site.posted.length, 0);
  });
});
