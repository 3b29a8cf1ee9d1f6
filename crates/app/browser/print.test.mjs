// What the browser prints of the sheets is the paper that was asked for, at true size.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test } from 'node:test';
import { browser, context, example, leaf, sit, table, within } from './table.mjs';

/** Points in a millimetre: 72 an inch. */
const PT = 72 / 25.4;
/** [paper, way, width, height in mm]: ANSI/ASME Y14.1 A and B, the architectural D, ISO 216 A3. */
const PAPERS = [['letter', 'portrait', 215.9, 279.4], ['tabloid', 'landscape', 431.8, 279.4], ['arch-d', 'landscape', 914.4, 609.6], ['a3', 'portrait', 297, 420]];

function has(tool) {
  try { execFileSync(tool, ['-v'], { stdio: 'ignore' }); return true; } catch { return false; }
}
const missing = has('pdfinfo') && has('pdftotext') ? false : 'poppler-utils is missing';
if (missing && process.env.CI) throw new Error(missing);

/** Every word of a PDF with its left upper corner and width, mm, and its page. */
function lettering(file) {
  const out = execFileSync('pdftotext', ['-bbox', file, '-'], { encoding: 'utf8' });
  let page = 0;
  return out.split('\n').flatMap((line) => {
    if (line.includes('<page ')) page++;
    const found = line.match(/<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*)<\/word>/);
    return found ? [{ page, x: Number(found[1]) / PT, y: Number(found[4]) / PT, wide: (Number(found[3]) - Number(found[1])) / PT, text: found[5] }] : [];
  });
}

for (const [paper, way, wide, high] of PAPERS) {
  test(`${paper} ${way} prints on pages of ${wide} x ${high} mm, with every word where the PDF has it`, { skip: missing }, async (t) => {
    const served = await table(t, await example('half-bath'));
    const page = await sit(t, await context(await browser(t)), served);
    await leaf(page, 'sheets');
    await page.waitForSelector('#sheets-pdf');
    await page.selectOption('#sheets-paper', String(paper));
    await Promise.all([
      page.waitForResponse((one) => one.url().includes(`paper=${paper}`) && one.url().includes(`way=${way}`) && one.url().includes('/1.svg')),
      page.selectOption('#sheets-way', String(way)),
    ]);
    await within(15000, 'the sheets lie there', async () => /^\d+ sheets?\./.test((await page.innerText('.sheets .said')).trim()));
    assert.equal(await page.locator('.sheet-page svg').count(), await page.locator('.sheet-page').count());
    const sheets = await page.locator('.sheet-page').count();
    const folder = await mkdtemp(join(tmpdir(), 'wyeline-print-'));
    try {
      const [printed, ours] = [join(folder, 'printed.pdf'), join(folder, 'ours.pdf')];
      await page.pdf({ path: printed, preferCSSPageSize: true, printBackground: true });
      const address = /** @type {string} */ (await page.getAttribute('#sheets-pdf', 'href'));
      await writeFile(ours, Buffer.from(await (await fetch(served.origin + address, { headers: { cookie: served.cookie } })).arrayBuffer()));
      const said = execFileSync('pdfinfo', ['-f', '1', '-l', '99', printed], { encoding: 'utf8' });
      assert.equal(Number(said.match(/^Pages:\s+(\d+)/m)?.[1]), sheets, said);
      const sizes = [...said.matchAll(/^Page\s+\d+ size:\s+([\d.]+) x ([\d.]+)/gm)].map((found) => [Number(found[1]) / PT, Number(found[2]) / PT]);
      // A browser lays pages out in whole pixels of 1/96 in, 0.26 mm.
      for (const [w, h] of sizes) assert.ok(Math.abs(w - Number(wide)) < 0.27 && Math.abs(h - Number(high)) < 0.27, `${w} x ${h} mm`);
      const [here, there] = [lettering(printed), lettering(ours)];
      assert.ok(here.length > 60, `there are ${here.length} words`);
      // A word that a page holds once is at one place.
      const once = (all) => new Map(all.filter((one) => all.filter((other) => other.page === one.page && other.text === one.text).length === 1).map((one) => [`${one.page} ${one.text}`, one]));
      const [a, b] = [once(here), once(there)];
      let compared = 0;
      for (const [word, one] of a) {
        const other = b.get(word);
        if (!other) continue;
        compared++;
        assert.ok(Math.hypot(one.x - other.x, one.y - other.y) < 1, `${word}: ${one.x},${one.y} and ${other.x},${other.y} mm`);
      }
      assert.ok(compared > 40, `only ${compared} words were found in both`);
    } finally { await rm(folder, { recursive: true, force: true }); }
  });
}
