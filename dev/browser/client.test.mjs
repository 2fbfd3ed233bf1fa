// The client's scripts on pages of their own: live parts, forms, the part in 3D.

import assert from 'node:assert/strict';
import { after, afterEach, before, beforeEach, describe, it } from 'node:test';
import { atRest, launch, open, watched } from './browser.mjs';
import { boxStl, serve } from './fixture.mjs';

const SIZE = { width: 820, height: 900 };

/** @type {import('./fixture.mjs').Fixture} */
let site;
/** @type {import('playwright-core').Browser} */
let browser;
/** @type {import('playwright-core').BrowserContext} */
let context;
/** @type {import('playwright-core').Page} */
let page;
/** @type {string[]} */
let faults;

before(async () => {
  browser = await launch();
});
after(() => browser.close());
beforeEach(async () => {
  site = await serve();
  context = await open(browser, site.url, SIZE);
  ({ page, faults } = await watched(context, site.url));
});
afterEach(async () => {
  await context.close();
  await site.close();
  assert.deepEqual(faults, [], 'no policy was broken, no other host asked, no script failed');
});

const said = () => page.locator('#said');

/**
 * Presses the form's button, and again while its request is under way; gives what the page showed
 * after the first. All in one go, since nothing can be asked of a page that is being left.
 *
 * @param {string} address
 */
async function pressTwice(address) {
  const out = page.waitForRequest(address);
  const shown = await page.evaluate(() => {
    const button = document.querySelector('button');
    button?.click();
    setTimeout(() => button?.click(), 250);
    return {
      button: button?.textContent,
      disabled: button?.getAttribute('aria-disabled'),
      said: document.getElementById('said')?.textContent,
    };
  });
  await out;
  await new Promise((resolve) => setTimeout(resolve, 600)); // the second would be out by now
  site.answer();
  await page.waitForURL('**/');
  return shown;
}

describe('live pages', () => {
  const PART = (/** @type {string} */ state) =>
    `<section id="ticket" data-say="${state}" hx-get="/" hx-select="#ticket" hx-swap="outerHTML" hx-trigger="live from:body"><p id="state">${state}</p><a id="more" href="#x">More</a><details id="why"><summary>Why</summary>Because</details><label>Note <input id="note"></label></section>`;

  beforeEach(async () => {
    site.page(PART('Planned'), 'data-live="/live?after=7"');
    await page.goto('/');
    await page.waitForFunction(() => document.body.dataset['live'] !== undefined);
    while (site.live.length === 0) await page.waitForRequest('**/live?*');
  });

  it('reload the part that cares, and say what is new once', async () => {
    assert.deepEqual(site.live, ['?after=7']);
    assert.equal(await said().textContent(), '', 'what the page began with is no news');
    site.page(PART('Printing'), 'data-live="/live?after=8"');
    site.push('event: change\ndata: {"entry":8}\n\n');
    await page.locator('#state', { hasText: 'Printing' }).waitFor();
    await page.waitForFunction(() => document.getElementById('said')?.textContent === 'Printing');
  });

  it('keep the focus and what was opened', async () => {
    await page.locator('summary').click();
    await page.locator('#more').focus();
    site.page(PART('Boxed'));
    site.push('event: minute\ndata:\n\n');
    await page.locator('#state', { hasText: 'Boxed' }).waitFor();
    assert.equal(await page.evaluate(() => document.activeElement?.id), 'more');
    assert.equal(await page.locator('#why').getAttribute('open'), '');
  });

  it('keep what was chosen, and put the focus on what comes next when a tick has gone', async () => {
    const row = (/** @type {number} */ n, /** @type {string} */ state, /** @type {string} */ more) =>
      `<li class="job job--${state}" data-row="start:${n}"><form><input type="hidden" name="act" value="start"><select name="spool"><option value="1">S-1</option><option value="2">S-2</option><option value="">another</option></select></form>${more}</li>`;
    const sheet = (/** @type {string} */ rows) =>
      `<ol id="ticket" hx-get="/" hx-select="#ticket" hx-swap="outerHTML" hx-trigger="live from:body">${rows}</ol><footer><a href="#y">Your account</a></footer>`;
    const swapped = async (/** @type {string} */ rows) => {
      site.page(sheet(`${rows}<li id="new">new</li>`));
      await page.evaluate(() => document.getElementById('new')?.remove());
      site.push('event: minute\ndata:\n\n');
      await page.locator('#new').waitFor();
    };
    const tick = '<button class="tick">Started</button>';
    site.page(sheet(row(1, 'now', tick) + row(2, 'ready', '<button>Trouble</button>')), 'data-live="/live?after=7"');
    await page.goto('/');
    while (site.live.length < 2) await page.waitForTimeout(20);
    const focus = () => page.evaluate(() => document.activeElement?.getAttribute('data-row') ?? document.activeElement?.textContent);
    await page.selectOption('[data-row="start:2"] select', '');
    await page.locator('button', { hasText: 'Trouble' }).focus();
    await swapped(row(1, 'now', tick) + row(2, 'ready', '<button>Trouble</button>'));
    assert.equal(await focus(), 'Trouble', 'a button that has no id keeps the focus too');
    assert.equal(await page.inputValue('[data-row="start:2"] select'), '', 'a spool that was chosen stays chosen');
    assert.equal(await page.inputValue('[data-row="start:1"] select'), '1');
    await page.locator('.tick').focus();
    await swapped(row(1, 'done', '') + row(2, 'now', tick));
    assert.equal(await focus(), 'start:2', 'what is to be done now');
    await page.locator('.tick').focus();
    await swapped(row(1, 'done', '') + row(2, 'done', ''));
    assert.equal(await focus(), 'start:2', 'nothing is: its own row');
    await page.keyboard.press('Tab');
    assert.notEqual(await focus(), 'Your account', 'Tab goes on from there');
  });

  const LIVE = 'hx-get="/" hx-select="#ticket" hx-swap="outerHTML" hx-trigger="live from:body"';
  const FORM = (/** @type {string} */ state, /** @type {string} */ fields) =>
    `<section id="ticket" ${LIVE}><p id="state">${state}</p><form>${fields}</form><a id="more" href="#x">More</a></section>`;
  /** Another page with these fields, open and live. */
  const opened = async (/** @type {string} */ fields) => {
    site.page(FORM('Planned', fields), 'data-live="/live?after=7"');
    await page.goto('/');
    while (site.live.length < 2) await page.waitForTimeout(20);
  };

  it('put nothing back of what was in hand when an answer was no page', async () => {
    const spools = '<select name="spool"><option value="1">S-1</option><option value="2">S-2</option></select>';
    await opened(spools);
    await page.selectOption('select', '2');
    await page.locator('#more').focus();
    site.breaks(true);
    const heard = page.evaluate(() => new Promise((resolve) => document.body.addEventListener('htmx:afterRequest', () => resolve(null), { once: true })));
    site.push('event: minute\ndata:\n\n');
    await heard;
    site.breaks(false);
    assert.match(faults.splice(0).join('\n'), /502/);
    assert.equal(await page.inputValue('select'), '2', 'it is as it was');
    await page.selectOption('select', '1');
    await page.locator('#more').focus();
    site.page(FORM('Printing', spools));
    site.push('event: minute\ndata:\n\n');
    await page.locator('#state', { hasText: 'Printing' }).waitFor();
    assert.equal(await page.inputValue('select'), '1', 'the spool that was unchosen stays so');
  });

  it('keep which of several was ticked', async () => {
    const several = ['radio', 'checkbox'].map((type) =>
      ['a', 'b', 'c'].map((value) => `<input type="${type}" name="${type}" value="${value}"${value === 'a' ? ' checked' : ''}>`).join(''));
    await opened(several.join(''));
    await page.check('[type=radio][value=b]');
    await page.uncheck('[type=checkbox][value=a]');
    await page.check('[type=checkbox][value=c]');
    await page.locator('#more').focus();
    site.page(FORM('Printing', several.join('')));
    site.push('event: minute\ndata:\n\n');
    await page.locator('#state', { hasText: 'Printing' }).waitFor();
    const ticked = await page.locator('input:checked').evaluateAll((all) => all.map((one) => `${one.getAttribute('name')} ${one.getAttribute('value')}`));
    assert.deepEqual(ticked, ['radio b', 'checkbox c']);
  });

  it('wait for somebody who is typing', async () => {
    await page.locator('#note').fill('glue');
    site.page(PART('Boxed'));
    site.push('event: change\ndata: {"entry":9}\n\n');
    await page.waitForTimeout(600); // longer than the pause that gathers bursts: nothing may come
    assert.equal(await page.locator('#note').inputValue(), 'glue');
    assert.equal(await page.locator('#state').textContent(), 'Planned');
    await page.locator('#note').blur();
    await page.locator('#state', { hasText: 'Boxed' }).waitFor();
  });

  it('are loaded anew when a part comes in another language', async () => {
    site.page(PART('Geplant'), 'data-live="/live?after=8"', 'de');
    site.push('event: change\ndata: {"entry":8}\n\n');
    await page.locator('html[lang=de] #state', { hasText: 'Geplant' }).waitFor();
    site.page(PART('Im Druck'), 'data-live="/live?after=9"', 'de');
    while (site.live.length < 2) await page.waitForTimeout(20);
    const asked = page.waitForRequest((request) => request.isNavigationRequest(), { timeout: 1_000 }).catch(() => null);
    site.push('event: change\ndata: {"entry":9}\n\n');
    await page.locator('#state', { hasText: 'Im Druck' }).waitFor();
    assert.equal(await asked, null, 'in the language that it has, only the part is put in');
  });

  it('keep what somebody has typed, in whatever language a part comes', async () => {
    const form = '<form><label>Why <textarea id="reason">It broke</textarea></label></form>';
    site.page(PART('Planned') + form, 'data-live="/live?after=7"');
    await page.goto('/');
    while (site.live.length < 2) await page.waitForTimeout(20);
    await page.locator('#reason').fill('It warped');
    site.page(PART('Geplant') + form, 'data-live="/live?after=8"', 'de');
    site.push('event: change\ndata: {"entry":8}\n\n');
    await page.locator('html[lang=en-GB] #state', { hasText: 'Geplant' }).waitFor();
    assert.equal(await page.locator('#reason').inputValue(), 'It warped');
    await page.locator('#reason').fill('It broke');
    site.push('event: minute\ndata:\n\n');
    await page.locator('html[lang=de] #state', { hasText: 'Geplant' }).waitFor();
  });

  it('ask again from the last entry when the stream breaks', async () => {
    site.page(PART('Printing'));
    site.push('event: change\ndata: {"entry":12}\n\n');
    await page.locator('#state', { hasText: 'Printing' }).waitFor();
    const again = page.waitForRequest('**/live?after=12');
    site.hangUp();
    await again;
  });
});

describe('sending files', () => {
  const FORM =
    '<form method="post" action="/send" enctype="multipart/form-data" data-send data-drop id="form"><label>File <input type="file" name="file" multiple></label><ul data-files></ul><p data-too-large hidden></p><button data-busy="Reading and judging…">Send and judge</button></form>';
  const file = (/** @type {string} */ name, bytes = 1_234) => ({ name, mimeType: 'model/stl', buffer: Buffer.alloc(bytes) });

  beforeEach(async () => {
    site.page(FORM);
    await page.goto('/');
  });

  it('lists them, goes out once and says what it waits for', async () => {
    await page.setInputFiles('input', [file('clip.stl'), file('arm.stl', 1_250_000)]);
    assert.deepEqual(await page.locator('[data-files] li').allTextContents(), ['clip.stl, 1 kB', 'arm.stl, 1.3 MB']);
    assert.deepEqual(await pressTwice('**/send'), {
      button: 'Reading and judging…',
      disabled: 'true',
      said: 'Reading and judging…',
    });
    assert.equal(site.posted.length, 1);
    assert.match(site.posted[0] ?? '', /filename="arm.stl"/);
  });

  it('takes what is dropped on the sheet', async () => {
    const drop = await page.evaluateHandle(() => {
      const data = new DataTransfer();
      data.items.add(new File(['solid'], 'dropped.stl'));
      return data;
    });
    await page.locator('#form').dispatchEvent('dragover', { dataTransfer: drop });
    assert.match((await page.locator('#form').getAttribute('class')) ?? '', /is-over/);
    await page.locator('#form').dispatchEvent('drop', { dataTransfer: drop });
    assert.deepEqual(await page.locator('[data-files] li').allTextContents(), ['dropped.stl, 5 bytes']);
  });

  it('refuses more than 100 MB in words, before anything is sent', async () => {
    // Real bytes would have to go through the test's own pipe; the size is what the script reads.
    await page.evaluate(() => {
      const data = new DataTransfer();
      data.items.add(new File(['x'], 'hull.stl'));
      const input = document.querySelector('input');
      if (!input) return;
      Object.defineProperty(data.files[0], 'size', { value: 123_400_001 });
      Object.defineProperty(input, 'files', { value: data.files });
      input.dispatchEvent(new Event('change', { bubbles: true }));
    });
    const words = page.locator('[data-too-large]');
    assert.ok(await words.isVisible());
    assert.match((await words.textContent()) ?? '', /hull\.stl is 123\.5 MB, and we take up to 100 MB/);
    await page.locator('button').click();
    await page.waitForTimeout(200); // nothing may go out
    assert.equal(site.posted.length, 0);
    assert.equal(await page.evaluate(() => document.activeElement?.tagName), 'INPUT');
  });
});

describe('forms that go out once', () => {
  it('stop the second submit while the first is under way', async () => {
    site.page('<form method="post" action="/take" data-once><button>Take it</button></form>');
    await page.goto('/');
    await pressTwice('**/take');
    assert.equal(site.posted.length, 1);
  });
});

describe('the part in 3D', () => {
  const VIEW = (mesh = '/box.stl') =>
    `<div data-part-view data-mesh="${mesh}" id="view"><img data-still src="/still.svg" alt="A box." width="720" height="540"><a href="#f1" data-callout data-x="20" data-y="0" data-z="5" data-kind="must" aria-label="Finding 1">1</a><a href="#f2" data-callout data-x="-20" data-y="0" data-z="5" data-kind="know" aria-label="Finding 2">2</a><p data-no-3d hidden>This browser can’t turn parts.</p><button type="button" data-turn="right">Right</button><button type="button" data-turn="top">From above</button></div><p id="f1">One</p><p id="f2">Two</p>`;
  const rest = () => page.locator('#view').getAttribute('data-at-rest');
  /** Waits until the part rests in that pose. */
  const restsAt = (/** @type {string} */ pose) => page.locator(`#view[data-at-rest="${pose}"]`).waitFor();
  const STILL = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><path d="M0 0h4v3z"/></svg>';

  const show = async (mesh = '/box.stl') => {
    site.files.set('/box.stl', boxStl());
    site.files.set('/still.svg', Buffer.from(STILL));
    site.page(VIEW(mesh));
    await page.goto('/');
  };

  it('draws clay where the still picture was, and moves nothing on the page', async () => {
    site.files.set('/box.stl', boxStl());
    await show();
    await atRest(page);
    assert.ok(await page.locator('canvas').isVisible());
    assert.ok(!(await page.locator('[data-still]').isVisible()));
    assert.ok(!(await page.locator('[data-no-3d]').isVisible()));
    const box = await page.locator('.view3d__stage').boundingBox();
    assert.ok(box && Math.abs(box.width / box.height - 4 / 3) < 0.01, JSON.stringify(box));
    const colours = await page.evaluate(shades);
    assert.ok(colours.clay > 0.1, `clay covers ${colours.clay}`);
    assert.ok(colours.ink > 0, 'creases are drawn');
    assert.ok(colours.clear > 0.2, 'the background is the page');
    assert.equal(await rest(), '35 28 1.00');
  });

  it('turns by buttons, keys and dragging, and not by scrolling', async () => {
    await show();
    await atRest(page);
    await page.locator('[data-turn=right]').click();
    await restsAt('50 28 1.00');
    await page.locator('canvas').focus();
    await page.keyboard.press('ArrowUp');
    await restsAt('50 43 1.00');
    await page.keyboard.press('+');
    await restsAt('50 43 1.25');
    await page.keyboard.press('0');
    await restsAt('35 28 1.00');
    await page.locator('[data-turn=top]').click();
    await restsAt('0 90 1.00');
    const box = await page.locator('canvas').boundingBox();
    assert.ok(box);
    await page.mouse.move(box.x + 100, box.y + 100);
    await page.mouse.down();
    await page.mouse.move(box.x + 140, box.y + 60);
    await page.mouse.up();
    await restsAt('-20 70 1.00');
    await page.mouse.wheel(0, 200);
    await page.waitForFunction(() => scrollY > 0 || document.documentElement.scrollHeight <= innerHeight);
    assert.equal(await rest(), '-20 70 1.00');
  });

  it('fades the call-out that is behind, and turns to the one that has the focus', async () => {
    await show();
    await atRest(page);
    const behind = () => page.locator('[data-callout]').evaluateAll((all) => all.map((one) => one.matches('.is-behind')));
    assert.deepEqual(await behind(), [false, true]);
    await page.locator('canvas').focus();
    await page.keyboard.press('Tab');
    await restsAt('90 0 1.00');
    await page.keyboard.press('Tab');
    await restsAt('270 0 1.00');
    assert.deepEqual(await behind(), [true, false]);
    const middle = await page.locator('.view3d__stage').boundingBox();
    const one = await page.locator('[data-callout]').nth(1).boundingBox();
    assert.ok(middle && one);
    assert.ok(Math.abs(one.x + one.width / 2 - middle.x - middle.width / 2) < 2, 'its place is in the middle');
  });

  it('looks into a groove from where its bottom is seen', async () => {
    // Below a lid: straight on to it, from underneath, the floor would be in the way.
    const [lid, floor] = [boxStl(40, 40, 2, 20), boxStl(40, 40, 2)];
    const both = Buffer.concat([lid, floor.subarray(84)]);
    both.writeUInt32LE(24, 80);
    site.files.set('/groove.stl', both);
    site.files.set('/still.svg', Buffer.from(STILL));
    site.page(VIEW('/groove.stl').replace('data-x="20" data-y="0" data-z="5"', 'data-x="15" data-y="0" data-z="20"'));
    await page.goto('/');
    await atRest(page);
    await page.locator('canvas').focus();
    await page.keyboard.press('Tab');
    await restsAt('90 -45 1.00');
    assert.ok(!(await page.locator('[data-callout]').first().evaluate((one) => one.matches('.is-behind'))));
  });

  it('draws only when something changes', async () => {
    await show();
    await atRest(page);
    await page.waitForTimeout(300); // the creases come a moment after the first frame
    const frames = await page.evaluate(async () => {
      const draw = WebGL2RenderingContext.prototype.drawArrays;
      let count = 0;
      WebGL2RenderingContext.prototype.drawArrays = function (...args) {
        count += 1;
        draw.apply(this, args);
      };
      await new Promise((resolve) => setTimeout(resolve, 500));
      return count;
    });
    assert.equal(frames, 0);
  });

  it('does not move by itself for those who asked for less motion', async () => {
    await page.emulateMedia({ reducedMotion: 'reduce' });
    await show();
    await atRest(page);
    const frames = await page.evaluate(async () => {
      const view = document.getElementById('view');
      const draw = WebGL2RenderingContext.prototype.clear;
      let count = 0;
      WebGL2RenderingContext.prototype.clear = function (mask) {
        count += 1;
        draw.call(this, mask);
      };
      view?.querySelector('button')?.click();
      await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
      return count;
    });
    assert.equal(frames, 1, 'one frame, no easing');
    await restsAt('50 28 1.00');
  });

  it('gives the still picture back when the graphics context is lost', async () => {
    await show();
    await atRest(page);
    await page.evaluate(() => {
      const gl = document.querySelector('canvas')?.getContext('webgl2');
      const lose = gl?.getExtension('WEBGL_lose_context');
      lose?.loseContext();
      Reflect.set(window, 'giveBack', () => lose?.restoreContext());
    });
    await page.locator('[data-still]').waitFor({ state: 'visible' });
    assert.ok(await page.locator('[data-no-3d]').isVisible());
    assert.ok(!(await page.locator('[data-turn=right]').isVisible()));
    await page.evaluate(() => Reflect.get(window, 'giveBack')());
    await page.locator('canvas').waitFor({ state: 'visible' });
    assert.ok((await page.evaluate(shades)).clay > 0.1);
    faults.length = 0; // three says on the console that the context was lost
  });

  it('leaves the still picture where there is no WebGL', async () => {
    const plain = await launch({ webgl: false });
    try {
      const other = await open(plain, site.url, SIZE);
      page = await other.newPage();
      await show();
      await page.locator('[data-no-3d]').waitFor({ state: 'visible' });
      assert.ok(await page.locator('[data-still]').isVisible());
      assert.ok(!(await page.locator('canvas').isVisible()));
    } finally {
      await plain.close();
    }
  });

  it('does not load more than 25 MB, and says so', async () => {
    site.files.set('/large.stl', Buffer.alloc(25_000_001));
    await show('/large.stl');
    await page.locator('[data-no-3d]').waitFor({ state: 'visible' });
    assert.match((await page.locator('[data-no-3d]').textContent()) ?? '', /more than 25 MB/);
    assert.ok(await page.locator('[data-still]').isVisible());
  });
});

/** Shares of the drawing: clay, dark lines, and what is clear. Runs in the page. */
function shades() {
  const canvas = document.querySelector('canvas');
  const copy = document.createElement('canvas');
  if (!canvas) throw new Error('no canvas');
  [copy.width, copy.height] = [canvas.width, canvas.height];
  // The drawing is gone from the buffer after its frame: have it drawn again and copied at once.
  return new Promise((/** @type {(found: { clay: number, ink: number, clear: number }) => void} */ resolve) => {
    canvas.focus();
    canvas.dispatchEvent(new KeyboardEvent('keydown', { key: '0', bubbles: true }));
    requestAnimationFrame(() => {
      const ink = copy.getContext('2d');
      if (!ink) throw new Error('no drawing');
      ink.drawImage(canvas, 0, 0);
      const { data } = ink.getImageData(0, 0, copy.width, copy.height);
      const found = { clay: 0, ink: 0, clear: 0 };
      for (let i = 0; i < data.length; i += 4) {
        if ((data[i + 3] ?? 0) < 128) found.clear += 1;
        else if ((data[i] ?? 0) > 150) found.clay += 1;
        else if ((data[i] ?? 0) < 90) found.ink += 1;
      }
      const all = data.length / 4;
      resolve({ clay: found.clay / all, ink: found.ink / all, clear: found.clear / all });
    });
  });
}
