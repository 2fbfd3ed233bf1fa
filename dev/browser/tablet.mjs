// What a test asks of a tablet at the bench.

import assert from 'node:assert/strict';

/** Waits until so many are not sent. @param {import('playwright-core').Page} page @param {number} many */
export function unsent(page, many) {
  return page.waitForFunction((many) => document.querySelectorAll('.unsent__list li').length === many, many, { timeout: 60_000 });
}

/** Waits until the tablet has everything for a day. @param {import('playwright-core').Page} page */
export async function kept(page) {
  for (let i = 0; !(await page.evaluate(keptAll)); i += 1) {
    assert.ok(i < 240, 'the tablet has all it needs within two minutes');
    await page.waitForTimeout(500);
  }
}

/** @returns {Promise<boolean>} */
function keptAll() {
  return new Promise((resolve) => {
    const asked = indexedDB.open('partpledge-bench', 1);
    asked.onerror = () => resolve(false);
    asked.onupgradeneeded = () => asked.transaction?.abort();
    asked.onsuccess = () => {
      const got = asked.result.transaction('facts').objectStore('facts').get('kept');
      got.onsuccess = () => resolve(got.result !== undefined && !!navigator.serviceWorker.controller);
    };
  });
}

/** @param {import('playwright-core').Page} page @param {string} name */
export async function shoot(page, name) {
  const out = process.env['PARTPLEDGE_SHOTS'];
  if (out) await page.screenshot({ path: `${out}/${name}.png`, fullPage: true });
}
