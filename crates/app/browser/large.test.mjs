// A job of very many pipes: drawn without words as a whole, with those of the part that is looked at from near; and only the lines in
// sight of very many are numbered.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { answered, browser, caretAfter, context, example, sit, table, within } from './table.mjs';

/** A line that turns at every leg: each is a pipe. More of them than are worded at once (400, crates/sheet/src/alone.rs). */
const LEGS = 420;
const MANY = `units ft-in
level main floor 0' ceiling 8'
cold long
  start 0',0' main floor +1'
  size 1/2"
${Array.from({ length: LEGS }, (_, i) => (i % 2 ? '  north 4"' : '  east 6"')).join('\n')}
  cap
`;

const labels = (page) => page.locator('#leaf-iso .drawn text.label').count();
const hint = (page) => page.locator('#leaf-iso .nearer').textContent();
async function laid(t, text) { return sit(t, await context(await browser(t)), await table(t, text)); }

test('the labels of a crowded drawing come when one looks from near, and stay while it is changed', async (t) => {
  const page = await laid(t, MANY);
  assert.equal(await page.locator('#leaf-iso .drawn g.pipe').count(), LEGS, 'every pipe is drawn');
  assert.equal(await labels(page), 0);
  assert.equal(await hint(page), 'Labels come when you zoom in.');

  for (let i = 0; i < 8; i++) await page.click('#iso-in');
  await within(5000, 'labels come', async () => await labels(page) > 0);
  await within(5000, 'nothing more is said of them', async () => await hint(page) === '');
  const few = await labels(page);
  assert.ok(few < LEGS, 'of the part in sight alone');

  await caretAfter(page, '  east 6');
  await answered(page, () => page.keyboard.type('-1/2'));
  assert.ok(await labels(page) > 0, 'none goes while words are typed');

  await page.click('#iso-whole');
  await within(5000, 'labels go', async () => await labels(page) === 0);
  assert.equal(await hint(page), 'Labels come when you zoom in.');
});

test('a house keeps all its labels', async (t) => {
  const page = await laid(t, await example('heron-cottage'));
  assert.ok(await labels(page) > 20);
  assert.equal(await hint(page), '');
});

test('of a long job the lines in sight are numbered, and a mistake is underlined where it stands', async (t) => {
  const page = await laid(t, MANY.replace('  cap', '  capp'));
  const last = MANY.trimEnd().split('\n').length;
  const numbers = () => page.locator('.words .gutter span').allTextContents();
  assert.ok((await numbers()).length < last, 'those out of sight are not there');
  await page.evaluate(() => { const at = /** @type {HTMLElement} */ (document.querySelector('.words .page')); at.scrollTop = at.scrollHeight; });
  await within(2000, 'the last line is numbered and marked', async () => (await numbers()).includes(`▸${last}`));
  const [line, mark] = await page.evaluate(() => {
    const words = /** @type {HTMLTextAreaElement} */ (document.querySelector('#words'));
    const high = parseFloat(getComputedStyle(words).lineHeight), top = words.getBoundingClientRect().top + parseFloat(getComputedStyle(words).paddingTop);
    return [top + (words.value.trimEnd().split('\n').length - 0.5) * high, document.querySelector('.words .marks .mistake')?.getBoundingClientRect()];
  });
  assert.ok(mark && mark.top < line && mark.bottom > line, `underlined at its line: ${JSON.stringify(mark)}, ${line}`);
});
