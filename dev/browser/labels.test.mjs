// Labels as a roll printer gives them, 62 mm wide, read by another program: zbar (Debian's zbar-tools).

import assert from 'node:assert/strict';
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, it } from 'node:test';
import { goTo, launch, open } from './browser.mjs';

const base = process.env['PARTPLEDGE_URL'] ?? '';
assert.ok(base, 'PARTPLEDGE_URL names the running program; `cargo xtask check` sets it');

/** Debian's poppler-utils and zbar-tools; `cargo xtask check` installs them where it may. */
const missing = ['pdftoppm', 'zbarimg'].filter((tool) => spawnSync(tool, ['--version']).error);
const skip = missing.length > 0 && !['true', '1'].includes(process.env['CI'] ?? '') ? `there is no ${missing.join(', no ')}` : false;

const BENCH = 'operator:brindlemoor';
const LABELS = [
  { path: '/boxes/1', as: BENCH, name: 'label-box' },
  { path: '/spool/1', as: BENCH, name: 'label-spool' },
  { path: '/plates/1', as: BENCH, name: 'label-plate' },
];

describe('labels on a roll of 62 mm', { skip }, () => {
  for (const { path, as, name } of LABELS) {
    it(`${path} is read back as its own address`, async () => {
      const dir = mkdtempSync(join(tmpdir(), 'label-'));
      const browser = await launch();
      try {
        const context = await open(browser, base, { width: 1366, height: 768 }, as);
        const page = await context.newPage();
        await goTo(page, path);
        const pdf = await page.pdf({ width: '62mm', height: '100mm', printBackground: true });
        const file = join(dir, `${name}.pdf`);
        writeFileSync(file, pdf);
        // 300 dots an inch, as such printers have.
        execFileSync('pdftoppm', ['-r', '300', '-png', file, join(dir, name)]);
        const shots = process.env['PARTPLEDGE_SHOTS'];
        if (shots) {
          mkdirSync(shots, { recursive: true });
          execFileSync('pdftoppm', ['-r', '150', '-png', file, join(shots, name)]);
        }
        const read = spawnSync('sh', ['-c', `zbarimg --raw --quiet ${join(dir, name)}*.png`], { encoding: 'utf8' });
        const found = new Set(read.stdout.split('\n').filter(Boolean));
        assert.deepEqual([...found], [`${base}${path}`]);
      } finally {
        await browser.close();
        rmSync(dir, { recursive: true });
      }
    });
  }
});
