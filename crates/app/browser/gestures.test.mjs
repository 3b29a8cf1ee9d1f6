// What a hand does on plan and isometric beside drawing: each gesture ends in the words that say it.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { answered, browser, context, example, leaf, sit, table, within } from './table.mjs';

const ROOM = `job    Two floors
units  ft-in
code   ipc-2021

level  main  floor 0'  ceiling 8' joists 9-1/4" run north-south
level  upper floor 9'  ceiling 8' joists 9-1/4" run north-south
roof   20'

wall main 0',0' 8',0' 8',6' 0',6' 0',0'

fixture LAV1 lavatory main 4',6' faces south
`;

/** Where a place of the building, in feet, is on the screen, once the page has been laid out. */
const place = (page, [east, north]) => page.evaluate(async ([e, n]) => {
  for (let frame = 0; frame < 2; frame++) await new Promise((next) => requestAnimationFrame(next));
  const svg = /** @type {SVGSVGElement} */ (document.querySelector('.plan svg.sheet'));
  const at = new DOMPoint(e * 304.8, -n * 304.8).matrixTransform(/** @type {DOMMatrix} */ (svg.getScreenCTM()));
  return [at.x, at.y];
}, [east, north]);
const press = async (page, at) => { const [x, y] = await place(page, at); await page.mouse.move(x - 2, y); await page.mouse.move(x, y); await page.mouse.down(); await page.mouse.up(); };
const pressed = (page, at) => answered(page, () => press(page, at));
const line = (text, start) => text.split('\n').find((one) => one.trim().startsWith(start))?.trim().replace(/\s+/g, ' ');

async function laid(t, text) {
  const served = await table(t, text);
  const page = await sit(t, await context(await browser(t)), served);
  return { served, page };
}

test('a length typed while a pipe is pulled sets its length', async (t) => {
  const { served, page } = await laid(t, ROOM);
  await page.click('#pipe-cold');
  await pressed(page, [1, 1]);
  const [x, y] = await place(page, [3, 1]);
  await page.mouse.move(x, y);
  // The browser tells of moves a frame at a time.
  await within(2000, 'the run is walked and the pencil at 3 ft', () => page.evaluate(() => Boolean(window.hand()?.run) && Math.abs((window.hand()?.at?.[0] ?? 0) - 3 * 304.8) < 30));
  await page.keyboard.type(`6' 3-1/2"`);
  await answered(page, () => page.keyboard.press('Enter'));
  const told = await served.read();
  assert.equal(line(told, 'east'), `east 6'3-1/2"`, told);
});

test('a height still open is asked for, and set in the words of the trade', async (t) => {
  const { served, page } = await laid(t, ROOM);
  await page.click('#pipe-waste');
  await pressed(page, [1, 1]);
  await pressed(page, [3, 1]);
  assert.match(line(await served.read(), 'start') ?? '', /unverified$/);
  await page.fill('#height', 'main floor -11"');
  await answered(page, () => page.press('#height', 'Enter'));
  assert.equal(line(await served.read(), 'start'), `start 1',1' main floor -11"`);
});

test('a fixture is pulled along its wall, copied, and repeated on another floor', async (t) => {
  const { served, page } = await laid(t, ROOM);
  await press(page, [4, 5.5]);
  await page.waitForSelector('.acts button:text-is("Turn")');
  const [x, y] = await place(page, [4, 5.5]);
  await page.mouse.move(x, y);
  await page.mouse.down();
  const [u, v] = await place(page, [6, 5.8]);
  await page.mouse.move(u, v, { steps: 5 });
  await answered(page, () => page.mouse.up());
  assert.equal(line(await served.read(), 'fixture LAV1'), `fixture LAV1 lavatory main 6',6' faces south`);

  await page.click('.acts button:text-is("Copy")');
  await pressed(page, [0.1, 3]);
  assert.equal(line(await served.read(), 'fixture LAV2'), `fixture LAV2 lavatory main 0',3' faces east`);

  await answered(page, () => page.selectOption('.acts select', 'upper'));
  assert.match(line(await served.read(), 'fixture LAV3') ?? '', /lavatory upper/);
});

test('a stretch of wall gets a typed length and the others follow', async (t) => {
  const { served, page } = await laid(t, ROOM);
  await press(page, [2, 0]);
  await page.fill('input[name=side]', `10'`);
  await answered(page, () => page.press('input[name=side]', 'Enter'));
  assert.equal(line(await served.read(), 'wall'), `wall main 0',0' 10',0' 10',6' 0',6' 0',0'`);
});

/** Four by three pixels: 12 m by 9 m before it is scaled. */
const PICTURE = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAQAAAADCAAAAACRn/EaAAAAEElEQVR4nGP4z/CfgQFOAAAv3wX7QgobQwAAAABJRU5ErkJggg==', 'base64');

test('a scanned plan lies under the plan and is scaled by two points', async (t) => {
  const { page } = await laid(t, ROOM);
  await page.setInputFiles('#underlay', { name: 'scan.png', mimeType: 'image/png', buffer: PICTURE });
  await page.waitForSelector('image.underlay');
  const wide = () => page.evaluate(() => Number(document.querySelector('image.underlay')?.getAttribute('width')));
  assert.equal(await wide(), 12000);
  await page.click('button:text-is("Scale it")');
  const [a, b] = [await place(page, [0, 0]), await place(page, [4, 0])];
  await page.mouse.move(...a);
  await page.mouse.down();
  await page.mouse.move(...b, { steps: 3 });
  await page.mouse.up();
  // The two points are 4 ft apart as it lies; told to be 8 ft, it grows twice as wide.
  await page.fill('#known-distance', `8'`);
  await page.press('#known-distance', 'Enter');
  await within(3000, 'twice as wide', async () => Math.abs((await wide()) - 24000) < 300);
  await page.reload();
  await page.waitForSelector('image.underlay');
  assert.ok(Math.abs((await wide()) - 24000) < 300, 'and is still there after the page was closed');
});

test('a pipe is pointed at on the isometric and found in plan and words; its corner is changed', async (t) => {
  const { page } = await laid(t, await example('heron-cottage'));
  const at = await page.evaluate(() => {
    const lines = [...document.querySelectorAll('#leaf-iso g.pipe')];
    const one = lines.find((pipe) => pipe.getAttribute('data-pipe') === 'house-drain/2');
    const box = one?.querySelector('.line')?.getBoundingClientRect();
    return box ? [box.x + box.width / 2, box.y + box.height / 2] : null;
  });
  assert.ok(at, 'the stack is drawn');
  await page.mouse.click(at[0], at[1]);
  await within(2000, 'chosen', () => page.evaluate(() => window.desk.state.chosen?.id === 'house-drain/2'));
  assert.ok(await page.locator('.plan [data-pipe="house-drain/2"].lit').count(), 'lit on the plan');
  assert.equal(await page.inputValue('#say').then((words) => words.replace(/\s+/g, ' ')), 'up to main floor -1\'6"');

  const before = await page.evaluate(() => window.desk.state.iso.corner);
  const other = before === 'se' ? 'SW' : 'SE';
  await page.click(`#leaf-iso button:text-is("${other}")`);
  await within(3000, 'seen from the other corner', () => page.evaluate((to) => document.querySelector('#leaf-iso g.view')?.getAttribute('data-corner') === to, other.toLowerCase()));
});

test('a finding leads to its place, and mending it takes it away', async (t) => {
  const { page } = await laid(t, await example('broken-s-trap'));
  await leaf(page, 'checks');
  const found = () => page.evaluate(() => window.desk.state.answer.items.filter((one) => one.kind === 'finding').length);
  const count = await found();
  assert.ok(count > 0, 'a job that is broken on purpose');
  await page.locator('#leaf-checks button:not(:disabled)').first().click();
  assert.ok(await page.evaluate(() => window.desk.state.chosen !== null), 'a place is chosen');
});
