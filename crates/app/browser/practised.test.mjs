// Practice against the program itself, nothing mocked: a pipe drawn by the mouse from what the exercise's own job says, marked full; drawn
// with three typical mistakes, marked down for just these; both kept over a reload and put down among what was done.
import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { test } from 'node:test';
import { promisify } from 'node:util';
import { browser, context, drag, place, ready, sit, table, within } from './table.mjs';

const CODE = '2B-0007-004';
const program = process.env.WYELINE ?? resolve(import.meta.dirname, '../../../target/debug/wyeline');
const run = async (...words) => (await promisify(execFile)(program, words, { maxBuffer: 1 << 26 })).stdout;

/** The exercise's pipes as lines between grid points of the paper, mm: ISO 5456-3's isometric, a square of the grid standing for 6 in. */
async function figure(t) {
  const folder = await mkdtemp(join(tmpdir(), 'wyeline-practised-'));
  t.after(() => rm(folder, { recursive: true, force: true }));
  const [exercise] = JSON.parse(await run('practice', '--find', CODE, '--json', '-o', folder));
  const job = join(folder, 'job.wye');
  await writeFile(job, exercise.text);
  const { nodes, pipes } = JSON.parse(await run('network', job, '--json'));
  const away = { sw: ([x, y]) => [x, y], se: ([x, y]) => [y, -x], ne: ([x, y]) => [-x, -y], nw: ([x, y]) => [-y, x] }[exercise.corner];
  const square = exercise.pitch_mm * 24;
  const at = new Map(nodes.map((node) => {
    const [r, l] = away([node.x / square, node.y / square]).map(Math.round);
    return [node.id, [r - l, -(r + l + 2 * Math.round(node.z_drawn / square))]];
  }));
  const all = [...at.values()];
  // Somewhere on the paper, six squares from its edges, on a point that the grid has.
  const [left, top] = [0, 1].map((axis) => Math.min(...all.map((point) => point[axis])) - 12);
  const odd = Math.abs(all[0][0] - left + all[0][1] - top) % 2;
  const point = ([column, half]) => [(column - left + odd) * exercise.pitch_mm * Math.cos(Math.PI / 6), (half - top) * exercise.pitch_mm / 2];
  return { exercise, lines: pipes.map((pipe) => [point(at.get(pipe.from)), point(at.get(pipe.to))]) };
}

async function letter(page, at, words) {
  const [x, y] = await place(page, at);
  await page.mouse.click(x, y);
  await page.keyboard.type(words);
  await page.keyboard.press('Enter');
}

async function seated(t) {
  const served = await table(t, 'job Practice\n');
  const page = await sit(t, await context(await browser(t)), served, { path: `/practice?code=${CODE}` });
  if (!(await page.locator('#leaf-draw').count())) await page.click('#to-draw');
  return page;
}

/** Has it marked, and gives what the program said. */
async function marked(page) {
  const answer = page.waitForResponse((response) => response.url().endsWith('/api/practice/mark'));
  await page.getByRole('button', { name: 'Mark it' }).click();
  return (await (await answer).json()).marks;
}

test('a pipe drawn as the exercise has it is marked full, kept, and counted among what was done', async (t) => {
  const { lines } = await figure(t);
  const page = await seated(t);
  for (const [a, b] of lines) await drag(page, a, b);
  await page.click('button#letters');
  const last = lines.at(-1)[1];
  await letter(page, [last[0] - 12, last[1] - 4], 'WC1');
  const longest = lines.toSorted(([a, b], [c, d]) => Math.hypot(c[0] - d[0], c[1] - d[1]) - Math.hypot(a[0] - b[0], a[1] - b[1]))[0];
  await letter(page, [(longest[0][0] + longest[1][0]) / 2, (longest[0][1] + longest[1][1]) / 2 + 8], 'C');
  const marks = await marked(page);
  assert.deepEqual(marks.faults, []);
  assert.equal(Math.round(marks.got), 100);
  await within(3000, 'kept', () => page.evaluate(() => document.querySelector('.kept')?.textContent === 'Kept'));
  await page.reload();
  await ready(page);
  assert.equal(await page.evaluate(() => window.book.ink.now.strokes.length), lines.length, 'the drawing is there again');
  await page.goto(new URL('/practice', page.url()).href);
  await ready(page);
  assert.match(await page.innerText('main'), new RegExp(CODE));
});

test('three typical mistakes cost what the table says and are named', async (t) => {
  const { lines } = await figure(t);
  const page = await seated(t);
  // The drop at the closet is left out, and both letters.
  for (const [a, b] of lines.slice(0, -1)) await drag(page, a, b);
  const marks = await marked(page);
  const found = marks.faults.map((fault) => fault.name).sort();
  assert.deepEqual(found, ['drop-missing', 'fixture-missing', 'letters-missing']);
  const table = JSON.stringify(await run('mark', '--table'));
  for (const name of found) assert.ok(table.includes(name));
  assert.ok(marks.got < marks.of);
});
