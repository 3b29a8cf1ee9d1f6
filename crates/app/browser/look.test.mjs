// Every leaf at phone, tablet and desk width, light and dark: usable by everybody, nothing hangs out at the side.
// SHOTS=FOLDER keeps pictures of all of them.
import assert from 'node:assert/strict';
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { test } from 'node:test';
import { AxeBuilder } from '@axe-core/playwright';
import { browser, context, example, leaf, ready, sit, table } from './table.mjs';

const LEAVES = ['answer', 'plan', 'iso', 'words', 'sizes', 'checks', 'lists', 'sheets'];
const shots = process.env.SHOTS;
if (shots) await mkdir(shots, { recursive: true });

const shoot = async (page, name) => { if (shots) await page.screenshot({ path: join(shots, `${name}.png`) }); };

/** Rules of accessibility that are broken, with where. */
async function broken(page) {
  const { violations } = await new AxeBuilder({ page }).options({ rules: { 'color-contrast-enhanced': { enabled: true }, 'target-size': { enabled: true } } }).analyze();
  return violations.map((one) => `${one.id}: ${one.help}: ${one.nodes.slice(0, 3).map((node) => `${node.target.join(' ')} ${node.any.concat(node.all)[0]?.message ?? ''}`).join(' | ')}${one.nodes.length > 3 ? ` and ${one.nodes.length - 3} more` : ''}`);
}

/** How far the page can be moved sideways, px. */
const sideways = (page) => page.evaluate(() => {
  scrollTo(1000, 0);
  const by = Math.max(scrollX, document.body.scrollLeft, document.documentElement.scrollWidth - innerWidth);
  scrollTo(0, 0);
  return by;
});

/** Waits until what a leaf asked for has come. */
const settled = async (page, name) => { await page.waitForTimeout(name === 'sheets' ? 2500 : 400); };

for (const width of [360, 820, 1600]) {
  for (const colorScheme of /** @type {const} */ (['light', 'dark'])) {
    if (width === 820 && colorScheme === 'dark') continue;
    test(`at ${width} px, ${colorScheme}`, { timeout: 300000 }, async (t) => {
      const served = await table(t, await example('half-bath'));
      const place = await context(await browser(t), width, { colorScheme, hasTouch: width < 1000, isMobile: width < 720 });
      const page = await sit(t, place, served);
      const wrong = [];
      const judge = async (name) => {
        const by = await sideways(page);
        if (by > 0) wrong.push(`${name}: the page moves sideways by ${by} px`);
        if (width !== 820) wrong.push(...(await broken(page)).map((one) => `${name}: ${one}`));
        await shoot(page, `${width}-${colorScheme}-${name}`);
      };
      for (const name of LEAVES) {
        await leaf(page, name);
        await settled(page, name);
        await judge(name);
      }
      await page.goto(`${served.origin}/`);
      await ready(page);
      await judge('home');
      assert.deepEqual(wrong, []);
    });
  }
}

test('everything in the page\'s head and leaves is reached and worked by keys', async (t) => {
  const served = await table(t, await example('half-bath'));
  const page = await sit(t, await context(await browser(t)), served);
  for (const [at, name] of LEAVES.entries()) {
    await page.keyboard.press(`Alt+${at + 1}`);
    await page.waitForSelector(`#leaf-${name}`);
    await page.waitForTimeout(200);
    assert.equal(await page.evaluate(() => document.activeElement?.closest('.leaf')?.id), `leaf-${name}`, 'the leaf that was asked for has the focus');
  }
  await page.focus('.skip');
  const seen = new Set();
  for (let step = 0; step < 400; step++) {
    await page.keyboard.press('Tab');
    const at = await page.evaluate(() => {
      const one = document.activeElement;
      if (!one || one === document.body) return null;
      const style = getComputedStyle(one);
      return { what: one.id || one.textContent?.trim().slice(0, 30) || one.localName, shown: style.outlineStyle !== 'none' || one.closest('label')?.matches(':focus-within') === true };
    });
    if (!at) break;
    assert.ok(at.shown, `it is seen where the focus is: ${at.what}`);
    if (at.what === 'words') await page.keyboard.press('Escape').then(() => page.focus('#say'));
    seen.add(at.what);
  }
  for (const id of ['undo', 'redo', 'to-plan', 'say']) assert.ok(seen.has(id) || await page.isDisabled(`#${id}`), `${id} is reached`);
});
