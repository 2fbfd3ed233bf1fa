// The part looked at closely, in the running program: cut, measured, layer by layer; and what stays
// without script and without WebGL.

import assert from 'node:assert/strict';
import { after, before, describe, it } from 'node:test';
import { axeFinds, goTo, launch, open, sideways, watched } from './browser.mjs';

const base = process.env['PARTPLEDGE_URL'] ?? '';
assert.ok(base, 'PARTPLEDGE_URL names the running program; `cargo xtask check` sets it');

const LAPTOP = { width: 1366, height: 768 };
const PHONE = { width: 360, height: 800 };
const TEAM = 'student:Newt Works';
const TURN = '/parts/1/turn?part=1';
/** Size of the demo's bracket as it stands, mm: see `bracket` in dev/testbed/src/parts.rs. */
const [WIDE, HIGH] = [50, 30];
const DEEP = 44;

describe('a part looked at closely', () => {
  /** @type {import('playwright-core').Browser} */
  let browser;
  before(async () => {
    browser = await launch();
  });
  after(() => browser.close());

  /**
   * @param {string} path
   * @param {{ width: number, height: number }} size
   * @param {import('playwright-core').BrowserContextOptions} [more]
   */
  async function look(path, size = LAPTOP, more = {}) {
    const context = await open(browser, base, size, TEAM, { reducedMotion: 'reduce', ...more });
    const { page, faults } = await watched(context, base);
    await goTo(page, path);
    return { context, page, faults };
  }

  /** What the 3D view shows. @param {import('playwright-core').Page} page */
  const picture = (page) => page.locator('canvas').screenshot();

  it('is cut by keyboard, and the layer beside it keeps up', async () => {
    const { context, page, faults } = await look(TURN);
    const whole = await picture(page);
    await page.focus('input[name=cut]:checked');
    await page.keyboard.press('ArrowRight');
    assert.equal(await page.isChecked('input[data-axis=z]'), true);
    await page.waitForFunction(() => /Cut at .* above the bed. The lower side stays./.test(document.getElementById('said')?.textContent ?? ''));
    assert.notDeepEqual(await picture(page), whole, 'something has been cut away');
    await page.focus('#cutat');
    await page.keyboard.press('Home');
    for (let i = 0; i < 50; i += 1) await page.keyboard.press('ArrowRight');
    assert.equal(await page.getAttribute('#cutat', 'aria-valuetext'), '5.0 mm');
    // Layers of 0.2 mm: 5.0 mm is the foot of the 26th.
    await page.waitForSelector('[data-layer-shown][data-layer="26"]');
    assert.equal(await page.inputValue('#layern'), '26');
    const low = await picture(page);
    await page.click('[data-cut-flip]');
    await page.waitForFunction(() => document.getElementById('said')?.textContent?.includes('The upper side stays.'));
    assert.notDeepEqual(await picture(page), low, 'the other side is kept');
    await page.focus('#layern');
    await page.keyboard.press('End');
    await page.waitForSelector('[data-layer-shown][data-layer="150"]');
    assert.equal(await page.inputValue('#cutat'), '29.9', 'the cut goes with the layer');
    assert.deepEqual(faults, []);
    await context.close();
  });

  it('has its cut face hatched where the plane runs through the solid', async () => {
    const { context, page } = await look(TURN);
    await page.check('input[data-axis=z]');
    await page.click('[data-turn=top]');
    await page.waitForSelector('[data-at-rest="0 90 1.00"]');
    const shares = await page.evaluate(async () => {
      const canvas = document.querySelector('canvas');
      const copy = document.createElement('canvas');
      if (!canvas) throw new Error('no canvas');
      [copy.width, copy.height] = [canvas.width, canvas.height];
      // Drawn again and copied in the same frame, before the buffer is cleared.
      document.querySelector('#cutat')?.dispatchEvent(new Event('input', { bubbles: true }));
      await new Promise((resolve) => requestAnimationFrame(resolve));
      const ink = copy.getContext('2d');
      ink?.drawImage(canvas, 0, 0);
      const data = ink?.getImageData(0, 0, copy.width, copy.height).data ?? [];
      let [paper, clay] = [0, 0];
      for (let i = 0; i < data.length; i += 4) {
        if ((data[i + 3] ?? 0) < 128) continue;
        if ((data[i] ?? 0) > 244 && (data[i + 2] ?? 0) > 240) paper += 1;
        else if ((data[i] ?? 0) > 165 && (data[i + 2] ?? 0) < 225) clay += 1;
      }
      return { paper, clay };
    });
    // From above, everything that is left of the part is its cut face.
    assert.ok(shares.paper > 1_000 && shares.paper > 10 * shares.clay, JSON.stringify(shares));
    await context.close();
  });

  it('is measured from corner to corner within a tenth of a millimetre', async () => {
    const { context, page, faults } = await look(TURN);
    await page.click('[data-turn=front]');
    await page.waitForSelector('[data-at-rest="0 0 1.00"]');
    await page.click('[data-measure-on]');
    const box = await page.locator('canvas').boundingBox();
    assert.ok(box);
    // The view holds a ball round the part, with a margin of 12 %, in its shorter side.
    const half = 1.12 * (Math.hypot(WIDE, HIGH, DEEP) / 2);
    const pxPerMm = Math.min(box.width, box.height) / 2 / half;
    const [x, y] = [box.width / 2, box.height / 2];
    const tap = (/** @type {number} */ mm, /** @type {number} */ up) =>
      page.locator('canvas').click({ position: { x: x + mm * pxPerMm + 3, y: y - up * pxPerMm + 3 } });
    await tap(-WIDE / 2, -HIGH / 2 - 8);
    assert.match((await page.textContent('[data-measure-says]')) ?? '', /Nothing there/);
    await tap(-WIDE / 2, HIGH / 2);
    await tap(WIDE / 2, -HIGH / 2);
    const of = async (/** @type {string} */ name) => parseFloat((await page.textContent(`[data-of=${name}]`)) ?? '');
    assert.ok(Math.abs((await of('x')) - WIDE) < 0.1, `left to right ${await of('x')}`);
    assert.ok(Math.abs((await of('z')) - HIGH) < 0.1, `height ${await of('z')}`);
    assert.ok(Math.abs((await of('all')) - Math.hypot(await of('x'), await of('y'), await of('z'))) < 0.1);
    assert.match((await page.textContent('.view3d__says')) ?? '', /\d mm/);
    await page.click('[data-measure-clear]');
    assert.ok(!(await page.locator('[data-measure-result]').isVisible()));
    assert.deepEqual(faults, []);
    await context.close();
  });

  it('is measured by keyboard alone', async () => {
    const { context, page } = await look(TURN);
    await page.focus('[data-measure-on]');
    await page.keyboard.press('Enter');
    await page.focus('canvas');
    await page.keyboard.press('Enter');
    assert.match((await page.textContent('[data-measure-says]')) ?? '', /First point set/);
    for (let i = 0; i < 4; i += 1) await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('Enter');
    assert.match((await page.textContent('[data-measure-says]')) ?? '', /mm apart/);
    await page.keyboard.press('Escape');
    assert.equal(await page.getAttribute('[data-measure-on]', 'aria-pressed'), 'false');
    await context.close();
  });

  it('moves across by keys, by Shift and a drag, and goes back to the start', async () => {
    const { context, page } = await look(TURN);
    await page.focus('canvas');
    await page.keyboard.press('Shift+ArrowRight');
    await page.waitForSelector('[data-across="-0.25 0.00"]');
    const box = await page.locator('canvas').boundingBox();
    assert.ok(box);
    await page.keyboard.down('Shift');
    await page.mouse.move(box.x + 200, box.y + 200);
    await page.mouse.down();
    await page.mouse.move(box.x + 200, box.y + 200 + Math.min(box.width, box.height) / 4);
    await page.mouse.up();
    await page.keyboard.up('Shift');
    await page.waitForSelector('[data-across="-0.25 0.50"]');
    await page.click('[data-turn=reset]');
    await page.waitForSelector('[data-across="0.00 0.00"]');
    await context.close();
  });

  it('shows any layer without script, by form and by link', async () => {
    const context = await open(browser, base, PHONE, TEAM, { javaScriptEnabled: false });
    const page = await context.newPage();
    await page.goto(`${TURN}&layer=3`);
    assert.match((await page.textContent('.layer__says')) ?? '', /Layer 3 of 150/);
    assert.equal(await page.locator('noscript img, .stills img').count(), 3, 'stills from three more sides');
    assert.ok(!(await page.locator('[data-cut]').isVisible()), 'nothing is offered that needs a script');
    await page.click('a[rel=next]');
    assert.match((await page.textContent('.layer__says')) ?? '', /Layer 4 of 150/);
    await page.focus('#layern');
    await page.keyboard.press('End');
    await page.click('[data-layer-go]');
    assert.match((await page.textContent('.layer__says')) ?? '', /Layer 150 of 150/);
    assert.equal(await page.locator('a[rel=next]').count(), 0);
    await context.close();
  });

  it('follows the slider with script, and only the last of many moves is shown', async () => {
    const { context, page, faults } = await look('/parts/1/layer?part=1&layer=10');
    await page.focus('#layern');
    for (let i = 0; i < 20; i += 1) await page.keyboard.press('ArrowRight');
    await page.waitForSelector('[data-layer-shown][data-layer="30"]');
    await page.click('[data-layer-step="-1"]');
    await page.waitForSelector('[data-layer-shown][data-layer="29"]');
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute('data-layer-step')), '-1');
    assert.match((await page.textContent('#said')) ?? '', /Layer 29 of 150/);
    assert.deepEqual(faults, []);
    await context.close();
  });

  it('keeps stills and layers where there is no WebGL', async () => {
    const flat = await launch({ webgl: false });
    try {
      const context = await open(flat, base, LAPTOP, TEAM);
      const page = await context.newPage();
      await page.goto(TURN);
      await page.locator('[data-no-3d]').waitFor({ state: 'visible' });
      assert.match((await page.textContent('[data-no-3d]')) ?? '', /four sides/);
      assert.equal(await page.locator('.stills img').count(), 3);
      assert.ok(!(await page.locator('[data-measure]').isVisible()));
      await page.focus('#layern');
      await page.keyboard.press('Home');
      await page.waitForSelector('[data-layer-shown][data-layer="1"]');
    } finally {
      await flat.close();
    }
  });

  for (const size of [LAPTOP, PHONE]) {
    it(`shuts nobody out while it is cut and measured, ${size.width} px wide`, async () => {
      const { context, page, faults } = await look(TURN, size);
      await page.check('input[data-axis=y]');
      await page.click('[data-measure-on]');
      await page.focus('canvas');
      await page.keyboard.press('Enter');
      await page.keyboard.press('ArrowLeft');
      await page.keyboard.press('Enter');
      const wide = await sideways(page);
      assert.deepEqual([...faults, ...wide, ...(await axeFinds(page))], []);
      await context.close();
    });
  }
});
