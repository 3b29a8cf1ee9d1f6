// Practice on the screen: the same figure by mouse, keys and touch, rubbed out and undone, lettered, kept, marked at its places; steps,
// key and questions; who is to use it at three widths.
// SHOTS=FOLDER keeps pictures of all leaves.
import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { mkdir, readFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { test } from 'node:test';
import { promisify } from 'node:util';
import { AxeBuilder } from '@axe-core/playwright';
import { browser, context, drag, place, ready, sit, table, within } from './table.mjs';

// ---------------------------------------------------------------- what is mocked, all of it here
// The program's answers on practice are stood in for: `/practice`, `/api/practice/...`. The page's own files come from this tree under
// the program's own content policy. Pictures are drawn by the program from an example, but are not of the exercise.
const root = resolve(import.meta.dirname, '../../..');
const JOB = 'job Half bath\nunits ft-in\n\nlevel main floor 0\' ceiling 8\'\n';
const PITCH = 6.35, CODE = '2A00-0701M';
const EXERCISE = {
  code: CODE, level: 2, title: 'Fern Row, one pipe', brief: 'Draw the pipe as an isometric from the corner named, to scale. Heights are pipe centres above the floor.',
  corner: 'sw', scale: '1/4 in = 1 ft', pitch: PITCH, width: 250, height: 180, letters: ['WC', 'LAV', 'BT', 'CO', 'VTR', 'C', 'H', 'T'], drawing: null,
};
const LEVELS = ['Blocks', 'One pipe', 'Waste of a bath group', 'Forty-fives', 'Vents through the roof', 'Hot and cold', 'Rolling offsets', 'Two storeys', 'A small shop']
  .map((name, i) => ({ number: i + 1, name, learnt: 'A level 45 is made from two equal legs along the axes; it is never measured along its own line.' }));
const HEADINGS = [['legibility', 7, 8], ['orientation', 20, 20], ['flow', 9, 12], ['angles', 4, 8], ['piping', 14.5, 20], ['labels', 4, 4], ['vents', 16, 16], ['fixtures', 12, 12]];
const pictures = (async () => {
  const draw = async (view) => (await promisify(execFile)(process.env.WYELINE ?? join(root, 'target/debug/wyeline'), ['draw', join(root, 'examples/half-bath.wye'), '--view', view, '--format', 'svg', '--quiet', '--sheet', '1', '-o', '-'], { maxBuffer: 1 << 26 })).stdout;
  return { plan: await draw('plan'), iso: await draw('iso') };
})();

/**
 * Stands in for the program in a context. `drawing` is what it kept before, `faults` where it finds faults, mm of paper, `storeys` how
 * many plans it gives.
 * @param {import('playwright-core').BrowserContext} place
 */
async function mocked(place, served, { drawing = null, faults = [], storeys = 1 } = {}) {
  const { plan, iso } = await pictures;
  const first = await fetch(`${served.origin}/`, { headers: { cookie: served.cookie } });
  const policy = { 'content-security-policy': first.headers.get('content-security-policy') ?? '' };
  assert.match(policy['content-security-policy'], /default-src 'none'/);
  const program = {
    /** @type {any} */ kept: drawing, keeps: 0, deaf: false, asked: /** @type {string[]} */ ([]),
    progress: [{ code: CODE, level: 2, time: 1790000000, got: 86.5, of: 100 }, { code: '3A01-22047', level: 3, time: 1790100000, got: 71, of: 100 }],
  };
  const said = {
    '': () => ({ levels: LEVELS, codes: [{ id: 'ipc-2021', name: 'IPC 2021' }, { id: 'upc-2021', name: 'UPC 2021' }], progress: program.progress }),
    exercise: (url) => {
      const code = url.searchParams.get('code');
      if (code && code.replaceAll('-', '').toUpperCase() !== CODE.replaceAll('-', '')) return { status: 422, wrong: `${code} is not the code of an exercise`, help: 'look at the sheet again' };
      return { ...EXERCISE, plans: Array(storeys).fill(plan), drawing: program.kept };
    },
    keep: (_, body) => { program.kept = body.drawing; program.keeps += 1; return {}; },
    mark: () => ({ marks: {
      corner: 'sw', headings: HEADINGS.map(([name, got, of]) => ({ name, got, of })), got: 86.5, of: 100, notes: ['There are no vents at this level: their 16 points are shared among the others.'],
      faults: faults.map((at, i) => ({ name: 'wrong-length', heading: 'piping', points: 1.5, at, words: `This leg is ${i + 3} ft long on the plan and shorter here. Count the squares along its axis.` })),
    }, key: iso }),
    steps: () => ({ steps: ['Axes and grid', 'Vertical pipes', 'The main'].map((title, i) => ({ title, sentence: `Sentence ${i + 1}: put down what stands upright before what lies level.`, svg: i ? iso : plan })) }),
    questions: () => ({ svg: iso, questions: [
      { number: 1, words: 'Which pipe lies above the ceiling?', options: ['A', 'B', 'C', 'none of them'], hint: '' },
      { number: 2, words: 'How long is A, centre to centre?', options: null, hint: 'In feet and inches, for example 4\'-6".' }] }),
    answers: (_, body) => ({ answers: [{ right: body.answers[0] === 'B', key: 'B', why: 'It rises to 8\'-6", and the ceiling is at 8\'-0".' }, { right: body.answers[1] === '4\'', key: '4\'-0"', why: 'Four squares along its axis, 1 ft each.' }] }),
    forget: () => { program.progress = []; program.kept = null; return {}; },
  };
  await place.route((url) => url.origin === served.origin && /^\/(practice$|page\/|api\/practice)/.test(url.pathname), async (route) => {
    const url = new URL(route.request().url()), { pathname } = url;
    if (pathname.startsWith('/page/fonts/')) { await route.continue(); return; }
    if (!pathname.startsWith('/api/')) {
      const name = pathname === '/practice' ? 'practice.html' : pathname.slice('/page/'.length);
      const contentType = { html: 'text/html; charset=utf-8', js: 'text/javascript', css: 'text/css', svg: 'image/svg+xml' }[name.split('.').pop() ?? ''];
      await route.fulfill({ body: await readFile(join(root, 'crates/app/page', name)), contentType, headers: policy });
      return;
    }
    if (program.deaf) { await route.abort(); return; }
    const name = pathname.slice('/api/practice'.length).replace('/', '');
    program.asked.push(name + url.search);
    const { status = 200, ...json } = said[name](url, route.request().postDataJSON());
    await route.fulfill({ status, json });
  });
  return program;
}
// ---------------------------------------------------------------- from here on nothing is mocked

const shots = process.env.SHOTS;
if (shots) await mkdir(shots, { recursive: true });

/** A page with the exercise open; the drawing lies open at every width. */
async function seated(t, { width = 1600, more = {}, code = CODE, meant = /^$/, leaf = 'draw', ...known } = {}) {
  const served = await table(t, JOB);
  const place = await context(await browser(t), width, more);
  const program = await mocked(place, served, known);
  const page = await sit(t, place, served, { path: code ? `/practice?code=${code}` : '/practice', meant });
  if (leaf && !(await page.locator(`#leaf-${leaf}`).count())) await page.click(`#to-${leaf}`);
  return { page, program, served, place };
}

/** A grid point: columns stand pitch x cos 30 apart, points half a pitch up or down from those of the next column. */
const point = ([column, half]) => [column * PITCH * Math.cos(Math.PI / 6), (half * PITCH) / 2];
const ink = (page) => page.evaluate(() => window.book.ink.now);
/** Strokes to a tenth of a millimetre: neighbouring grid points are six apart. */
const strokes = async (page) => (await ink(page)).strokes.map((stroke) => stroke.map((p) => p.map((mm) => Math.round(mm * 10) / 10)));
const told = (figure) => figure.map((line) => line.map((one) => point(one).map((mm) => Math.round(mm * 10) / 10)));
const kept = (page) => within(3000, 'kept', () => page.evaluate(() => document.querySelector('.kept')?.textContent === 'Kept'));

async function touches(page) {
  const client = await page.context().newCDPSession(page);
  return (type, ...points) => client.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
}

/**
 * A pipe of a level-2 exercise: up 4, along one level axis 5, along the other 3, down 2, and a level 45 with legs of 2, which lies flat
 * on paper from this corner: each axis leg goes one column and half a square a foot, both together four columns straight across.
 */
const FIGURE = [[[12, 36], [12, 28]], [[12, 28], [17, 23]], [[17, 23], [20, 26]], [[20, 26], [20, 30]], [[20, 30], [24, 30]]];

test('a figure is drawn by the mouse, a hand somewhat off the grid', async (t) => {
  const { page, program } = await seated(t);
  for (const [a, b] of FIGURE) {
    const off = ([x, y], by) => [x + by, y - by * 0.8];
    await drag(page, off(point(a), 1.1), off(point(b), -1.2));
  }
  assert.deepEqual(await strokes(page), told(FIGURE));
  await kept(page);
  assert.equal(program.kept.strokes.length, FIGURE.length);
  assert.deepEqual([program.kept.exercise, program.kept.corner, program.kept.own_route, program.kept.letters], [CODE, 'sw', false, []]);
});

test('the same figure is drawn by the keys alone', async (t) => {
  const { page } = await seated(t);
  await page.focus('#paper');
  await page.keyboard.press('ArrowUp');
  const cursor = () => page.evaluate(() => window.book.hand.grid.index(window.book.hand.cursor));
  const walk = async ([column, half]) => {
    for (let n = 0; n < 200; n++) {
      const [c, h] = await cursor();
      if (c === column && h === half) return;
      // One column is a step along either level axis: whichever brings the height nearer.
      if (c !== column) await page.keyboard.press((c < column) === (h > half) ? (c < column ? 'ArrowRight' : 'ArrowLeft') : (c < column ? 'Shift+ArrowRight' : 'Shift+ArrowLeft'));
      else await page.keyboard.press(h > half ? 'ArrowUp' : 'ArrowDown');
    }
    assert.fail('the cursor gets there');
  };
  for (const [i, [a, b]] of FIGURE.entries()) {
    await walk(a);
    await page.keyboard.press(i % 2 ? 'Space' : 'Enter');
    await walk(b);
    assert.match(await page.textContent('#draw-status') ?? '', i === 0 ? /^4 squares up$/ : i === 1 ? /^5 squares up to the right$/ : i === 4 ? /not along an axis/ : /squares/);
    await page.keyboard.press('Enter');
  }
  assert.deepEqual(await strokes(page), told(FIGURE));
});

test('the same figure is drawn by touch, by pulling and by tapping both ends', async (t) => {
  const { page } = await seated(t, { width: 1024, more: { hasTouch: true, isMobile: true } });
  const touch = await touches(page);
  for (const [i, [a, b]] of FIGURE.entries()) {
    const [from, to] = [await place(page, point(a)), await place(page, point(b))];
    if (i % 2) {
      await page.touchscreen.tap(from[0], from[1]);
      await page.touchscreen.tap(to[0], to[1]);
    } else {
      await touch('touchStart', from);
      for (let s = 1; s <= 6; s++) await touch('touchMove', [from[0] + ((to[0] - from[0]) * s) / 6, from[1] + ((to[1] - from[1]) * s) / 6]);
      await touch('touchEnd');
    }
  }
  assert.deepEqual(await strokes(page), told(FIGURE));
});

test('the mark at the pointer says whether the line keeps to an axis', async (t) => {
  const { page } = await seated(t, { width: 360, more: { hasTouch: true, isMobile: true } });
  const [x, y] = await place(page, [EXERCISE.width / 2, EXERCISE.height / 2]);
  const touch = await touches(page);
  const marks = () => page.evaluate(() => ['circle.mark', 'path.mark', '.axis'].map((one) => document.querySelectorAll(`svg.drawing .live ${one}`).length));
  await touch('touchStart', [x, y]);
  await touch('touchMove', [x + 50, y - 29]);
  await within(2000, 'a ring, and the axis', async () => (await marks()).join() === '1,0,1');
  if (shots) await page.screenshot({ path: join(shots, '360-in-hand.png') });
  await touch('touchMove', [x + 80, y]);
  await within(2000, 'a lozenge, and no axis', async () => (await marks()).join() === '0,1,0');
  assert.match(await page.textContent('#draw-status') ?? '', /not along an axis/);
  if (shots) await page.screenshot({ path: join(shots, '360-off-axis.png') });
  await touch('touchEnd');
  assert.deepEqual(await marks(), [0, 0, 0], 'a finger that is lifted points at nothing');
});

test('two fingers move and enlarge the paper and draw nothing', async (t) => {
  const { page } = await seated(t, { width: 1024, more: { hasTouch: true, isMobile: true } });
  const touch = await touches(page);
  const [x, y] = await place(page, point([20, 26])), [u] = await place(page, point([26, 26]));
  await touch('touchStart', [x, y]);
  await touch('touchMove', [x + 10, y]);
  await touch('touchStart', [x + 10, y], [x + 110, y]);
  await touch('touchMove', [x - 40, y + 30], [x + 160, y + 30]);
  await touch('touchEnd');
  assert.deepEqual(await strokes(page), []);
  const [x2, y2] = await place(page, point([20, 26])), [u2] = await place(page, point([26, 26]));
  assert.ok(Math.abs((u2 - x2) / (u - x) - 2) < 0.05, 'fingers twice as far apart: twice as large');
  assert.ok(Math.abs(y2 - (y + 30)) < 8, 'and moved along with them');
});

test('while a pen is near a palm draws nothing, and pressure does not matter', async (t) => {
  const { page } = await seated(t, { width: 1024, more: { hasTouch: true } });
  const client = await page.context().newCDPSession(page);
  const pen = (type, [x, y], force = 0.5) => client.send('Input.dispatchMouseEvent', { type, x, y, button: type === 'mouseMoved' ? 'none' : 'left', buttons: type === 'mouseReleased' ? 0 : 1, clickCount: 1, pointerType: 'pen', force });
  const [[a, b]] = FIGURE, [from, to] = [await place(page, point(a)), await place(page, point(b))];
  const touch = await touches(page), palm = await place(page, point([30, 44])), slid = await place(page, point([34, 48]));
  // The palm lies down before the pen is near, and slides.
  await touch('touchStart', palm);
  await touch('touchMove', slid);
  await pen('mouseMoved', from, 0);
  await touch('touchEnd');
  assert.deepEqual([await strokes(page), await page.evaluate(() => window.book.hand.lowered)], [[], false]);
  await touch('touchStart', palm);
  await touch('touchMove', slid);
  await touch('touchEnd');
  assert.deepEqual(await strokes(page), []);
  await pen('mousePressed', from, 0.1);
  await pen('mouseMoved', [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2], 0.9);
  await pen('mouseMoved', to, 0.2);
  await pen('mouseReleased', to);
  assert.deepEqual(await strokes(page), told([FIGURE[0]]));
});

test('what is drawn free hand stays where the hand was, and dashes lift the pencil by turns', async (t) => {
  const { page } = await seated(t);
  await page.click('#free');
  await drag(page, [100, 80], [101.5, 82.5]);
  const [small] = (await ink(page)).strokes;
  assert.ok(Math.hypot(small[0][0] - 100, small[0][1] - 80) < 0.6 && Math.hypot(small.at(-1)[0] - 101.5, small.at(-1)[1] - 82.5) < 0.6, JSON.stringify(small));
  await page.click('#free');
  await page.click('#dashes');
  await drag(page, point([12, 36]), point([12, 28]));
  const dashes = (await strokes(page)).slice(1);
  // 4 squares; dashes of half a square and gaps of a quarter: (4 + 1/4) / (3/4) = 5.7, so 6 dashes of (4 - 5/4) / 6 = 0.458 squares, 2.91 mm.
  assert.equal(dashes.length, 6);
  assert.deepEqual([dashes[0][0], dashes[5][1]], told([[[12, 36], [12, 28]]])[0], 'ends at both ends');
  for (const [a, b] of dashes) assert.ok(Math.abs(a[1] - b[1] - 2.91) < 0.11 && a[0] === b[0]);
});

test('half squares are kept to where they are asked for', async (t) => {
  const { page } = await seated(t);
  const [x, y] = point([12, 36]);
  // Up one square and a half, drawn a little off.
  const draw = () => drag(page, [x + 0.5, y], [x - 0.5, y - 1.5 * PITCH + 0.6]);
  await draw();
  await page.click('#halves');
  await draw();
  const tops = (await ink(page)).strokes.map((stroke) => (y - stroke[1][1]) / PITCH);
  assert.ok(Math.abs(tops[0] - 1) < 1e-3, 'whole squares');
  assert.ok(Math.abs(tops[1] - 1.5) < 1e-3, `${tops[1]}`);
});

test('on a phone the view and the drawing are where they were left', async (t) => {
  const { page } = await seated(t, { width: 360, more: { hasTouch: true, isMobile: true } });
  const [[a], [b]] = [await place(page, point([10, 0])), await place(page, point([11, 1]))];
  assert.ok(b - a > 12, 'squares large enough for a finger to begin with');
  const middle = [EXERCISE.width / 2, EXERCISE.height / 2];
  const [x, y] = await place(page, middle);
  await page.touchscreen.tap(x, y);
  await page.touchscreen.tap(x, y - 60);
  assert.equal((await strokes(page)).length, 1);
  await page.tap('#nearer');
  const near = await place(page, middle);
  await page.tap('#to-exercise');
  await page.waitForSelector('#leaf-exercise');
  await page.tap('#to-draw');
  const back = await place(page, middle);
  assert.ok(Math.hypot(back[0] - near[0], back[1] - near[1]) < 1, `${near} ${back}`);
  assert.equal(await page.locator('svg.drawing .ink path').count(), 1);
  await page.tap('#undo');
  assert.equal(await page.locator('svg.drawing .ink path').count(), 0);
});

test('the eraser takes whole strokes or the part crossed; all is undone and done again', async (t) => {
  const { page } = await seated(t);
  for (const [a, b] of FIGURE.slice(0, 3)) await drag(page, point(a), point(b));
  const drawn = await strokes(page);
  const middle = ([a, b]) => { const [p, q] = [point(a), point(b)]; return [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2]; };
  const across = async (line, by = 5) => { const [x, y] = middle(line); await drag(page, [x - by, y], [x + by, y]); };
  
  await page.locator('button#eraser').click();
  await across(FIGURE[0]);
  assert.deepEqual(await strokes(page), drawn.slice(1), 'the upright is gone as a whole');
  await page.click('#part-crossed');
  const [x, y] = middle(FIGURE[1]);
  await drag(page, [x, y - 6], [x, y + 6]);
  const left = await strokes(page);
  assert.equal(left.length, 3, 'one line has become two');
  assert.deepEqual([left[0][0], left[1][1]], drawn[1], 'its ends stay where they were');
  assert.ok(left[0][1][0] < x && left[1][0][0] > x, 'and it is open where it was crossed');
  const states = [await strokes(page)];
  while (!(await page.isDisabled('#undo'))) { await page.click('#undo'); states.push(await strokes(page)); }
  // Three lines and two goes of the eraser.
  assert.equal(states.length, 6);
  assert.deepEqual(states.at(-1), []);
  await page.focus('#paper');
  for (let n = 4; n >= 0; n--) { await page.keyboard.press('Control+Shift+Z'); assert.deepEqual(await strokes(page), states[n]); }
  await page.click('#clear');
  assert.deepEqual(await strokes(page), []);
  await page.keyboard.press('Control+z');
  assert.deepEqual(await strokes(page), states[0], 'clearing is undone too');
});

test('letters are set where one taps: typed, picked, changed, pulled, taken away, by the keys', async (t) => {
  const { page } = await seated(t);
  const letters = async () => (await ink(page)).letters.map(({ at, text }) => [text, ...at.map((mm) => Math.round(mm))]);
  const tap = async (at) => { const [x, y] = await place(page, at); await page.mouse.click(x, y); };
  await page.click('button#letters');
  await tap([80, 60]);
  await page.keyboard.type('CO');
  await page.keyboard.press('Enter');
  await tap([120, 90]);
  await page.click('.there button:text-is("LAV")');
  assert.deepEqual(await letters(), [['CO', 80, 60], ['LAV', 120, 90]]);
  await tap([140, 100]);
  await page.keyboard.type('C');
  await tap([80, 60]);
  assert.deepEqual((await letters()).at(-1), ['C', 140, 100], 'what was typed is set when the hand goes on');
  await page.fill('#letters-there', 'VTR');
  await page.keyboard.press('Enter');
  await drag(page, [120, 90], [130, 110]);
  await tap([140, 100]);
  await page.click('.there button:text-is("Take away")');
  assert.deepEqual(await letters(), [['VTR', 80, 60], ['LAV', 130, 110]]);
  await page.focus('#paper');
  await page.keyboard.press('l');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('Enter');
  await page.keyboard.type('WC');
  await page.keyboard.press('Enter');
  assert.equal((await letters()).at(-1)?.[0], 'WC');
  assert.equal((await ink(page)).letters.at(-1).height, 3.2, '1/8 in');
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'paper', 'and the keys go on on the paper');
});

test('a drawing outlives a program that does not answer and a page that is closed', async (t) => {
  const { page, program } = await seated(t, { meant: /ERR_FAILED|Failed to load/ });
  await drag(page, ...FIGURE[0].map(point));
  await kept(page);
  program.deaf = true;
  await drag(page, ...FIGURE[1].map(point));
  await page.waitForSelector('.wrong:has-text("does not answer")');
  assert.equal(await page.textContent('.kept'), 'Not kept yet');
  assert.equal(program.kept.strokes.length, 1);
  program.deaf = false;
  await page.reload();
  await ready(page);
  await within(3000, 'told to the program', async () => program.kept.strokes.length === 2);
  assert.deepEqual(await strokes(page), told(FIGURE.slice(0, 2)));
  program.deaf = true;
  
  await drag(page, ...FIGURE[2].map(point));
  await page.waitForSelector('.wrong:has-text("does not answer")');
  program.deaf = false;
  await within(6000, 'tried again by itself', async () => program.kept.strokes.length === 3);
  await kept(page);
});

test('marks are numbered at their places, and choosing one rings its place', async (t) => {
  const faults = [point([12, 28]), point([20, 26]), null];
  const { page } = await seated(t, { faults });
  for (const [a, b] of FIGURE) await drag(page, point(a), point(b));
  if (!(await page.locator('#leaf-key').count())) await page.click('#to-key');
  assert.match(await page.textContent('#leaf-key') ?? '', /shown when your drawing has been marked/);
  await page.click('#mark');
  await page.waitForSelector('#leaf-marks .faults');
  assert.match(await page.textContent('#leaf-marks h3') ?? '', /^86\.5 of 100 points$/);
  const numbers = () => page.evaluate(() => [...document.querySelectorAll('svg.drawing .fault')].map((g) => [g.textContent, ...['cx', 'cy'].map((name) => Number(g.querySelector('.spot')?.getAttribute(name)))]).sort());
  assert.deepEqual((await numbers()).map(([n, x, y]) => [n, x.toFixed(2), y.toFixed(2)]), [['1', ...point([12, 28]).map((mm) => mm.toFixed(2))], ['2', ...point([20, 26]).map((mm) => mm.toFixed(2))]]);
  assert.equal(await page.locator('svg.drawing .ring').count(), 0);
  await page.click('#fault-2');
  assert.equal(await page.getAttribute('#fault-2', 'aria-pressed'), 'true');
  const ring = page.locator('svg.drawing .fault.lit .ring');
  assert.deepEqual([await ring.getAttribute('cx'), await ring.getAttribute('cy')].map((mm) => Number(mm).toFixed(2)), point([20, 26]).map((mm) => mm.toFixed(2)));
  assert.match(await page.textContent('.telling') ?? '', /^\s*2 This leg is 4 ft/);
  await page.click('.telling button:text-is("Next")');
  assert.match(await page.textContent('.telling') ?? '', /about the whole drawing/);
  await page.click('.telling button:text-is("Put away")');
  if (!(await page.locator('#leaf-key').count())) await page.click('#to-key');
  await page.waitForSelector('#leaf-key .viewer');
  assert.ok(await page.locator('#leaf-key .viewer svg path').count() > 10, 'the key is drawn');
  await page.click('button#eraser');
  await page.click('#clear');
  if (!(await page.locator('#leaf-marks').count())) await page.click('#to-marks');
  assert.match(await page.textContent('#leaf-marks') ?? '', /has changed since/);
});

test('steps go forth and back by keys, and from the corner that is drawn from', async (t) => {
  const { page, program } = await seated(t, { leaf: 'steps' });
  await page.waitForSelector('#leaf-steps h3:text-is("Axes and grid")');
  await page.focus('#leaf-steps .viewer');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  assert.equal(await page.textContent('#leaf-steps h3'), 'The main');
  await page.keyboard.press('ArrowLeft');
  assert.equal(await page.textContent('#leaf-steps h3'), 'Vertical pipes');
  if (!(await page.locator('#leaf-draw').count())) await page.click('#to-draw');
  await page.click('#leaf-draw details.said summary');
  await page.click('#from-ne');
  await within(2000, 'asked for anew', async () => program.asked.some((one) => one === `steps?code=${CODE}&corner=ne`));
  await page.check('#own-route');
  await page.fill('#learner', 'R. Moss');
  await page.keyboard.press('Enter');
  await within(2000, 'kept', async () => program.kept?.learner === 'R. Moss');
  assert.deepEqual([program.kept.corner, program.kept.own_route], ['ne', true]);
});

test('each storey has its plan', async (t) => {
  const { page } = await seated(t, { storeys: 2, leaf: 'exercise' });
  await page.click('#plan-2');
  assert.equal(await page.getAttribute('#plan-2', 'aria-pressed'), 'true');
  assert.match(await page.locator('#leaf-exercise .host').getAttribute('aria-label') ?? '', /^Plan 2 of 2 of Fern Row/);
  assert.ok(await page.locator('#leaf-exercise .viewer svg path').count() > 10);
});

test('questions are answered, and each answer is explained', async (t) => {
  const { page, program } = await seated(t, { code: '', leaf: '' });
  await page.click('#read-2');
  await page.waitForSelector('#leaf-questions form');
  assert.ok(program.asked.includes('exercise?level=2&practice=ipc-2021'), program.asked.join(' '));
  assert.match(page.url(), /\/practice\?code=2A00-0701M&read=1$/);
  await page.check('input[value="B"]');
  await page.fill('#q-1', '5\'');
  await page.click('#check-answers');
  await page.waitForSelector('#said-0');
  assert.match(await page.textContent('#leaf-questions h3') ?? '', /^1 of 2 right$/);
  assert.match(await page.textContent('#said-0') ?? '', /^Right\. It rises/);
  assert.match(await page.textContent('#said-1') ?? '', /^Not right: 4'-0"\. Four squares/);
  await page.fill('#q-1', '4\'');
  assert.equal(await page.locator('#said-1').count(), 0, 'what was said of another answer is gone');
});

test('an exercise is found by its code, refused by a wrong one, and progress is forgotten when asked twice', async (t) => {
  const { page } = await seated(t, { code: '', leaf: '', meant: /422/ });
  await page.fill('#code', '9Z');
  await page.click('button:text-is("Draw it")');
  await page.waitForSelector('#code-wrong');
  assert.match(await page.textContent('#code-wrong') ?? '', /9Z is not the code/);
  assert.match(await page.textContent('.levels-list') ?? '', /1 done, best 86\.5 of 100/);
  await page.click('#forget');
  await page.click('#forget');
  await page.waitForSelector('text=Nothing has been marked yet');
  await page.fill('#code', '2a000701m');
  await page.keyboard.press('Enter');
  await page.waitForSelector('#leaf-draw');
  assert.match(page.url(), /code=2A00-0701M$/);
  await page.goBack();
  await page.waitForSelector('#levels');
  await page.goto(page.url().replace(/\/practice.*/, '/practice?code=9Z'));
  await page.waitForSelector('#code-wrong:has-text("9Z is not the code")');
  assert.equal(await page.inputValue('#code'), '9Z');
});

test('a kept drawing that is larger than the paper is seen as a whole', async (t) => {
  const drawing = { exercise: CODE, learner: '', corner: 'se', own_route: false, strokes: [[[-60, -40], [400, 300]]], letters: [{ at: [390, 260], text: 'WC', height: 3 }] };
  const { page } = await seated(t, { drawing });
  await page.click('#whole');
  const seen = await page.evaluate(() => {
    const paper = document.querySelector('#paper')?.getBoundingClientRect();
    return [...document.querySelectorAll('svg.drawing .ink path, svg.drawing .letters text, svg.drawing .sheet')].map((one) => { const r = one.getBoundingClientRect(); return paper && r.left >= paper.left && r.right <= paper.right && r.top >= paper.top && r.bottom <= paper.bottom; });
  });
  assert.deepEqual(seen, [true, true, true]);
  assert.match(await page.textContent('#leaf-draw details summary') ?? '', /south-east/);
});

// ---------------------------------------------------------------- at every width
async function broken(page) {
  const { violations } = await new AxeBuilder({ page }).options({ rules: { 'color-contrast-enhanced': { enabled: true }, 'target-size': { enabled: true } } }).analyze();
  return violations.map((one) => `${one.id}: ${one.help}: ${one.nodes.slice(0, 3).map((node) => `${node.target.join(' ')} ${node.any.concat(node.all)[0]?.message ?? ''}`).join(' | ')}`);
}

for (const width of [360, 820, 1600]) {
  for (const colorScheme of /** @type {const} */ (['light', 'dark'])) {
    test(`practice at ${width} px, ${colorScheme}`, { timeout: 300000 }, async (t) => {
      const faults = [point([12, 28]), point([20, 26]), point([20, 30]), null];
      const { page, program } = await seated(t, {
        width, code: '', leaf: '', faults, more: { colorScheme, hasTouch: width < 1000, isMobile: width < 720 },
        drawing: { exercise: CODE, learner: '', corner: 'sw', own_route: false, strokes: FIGURE.map((line) => line.map(point)), letters: [{ at: [90, 118], text: 'LAV', height: 3.2 }] },
      });
      const wrong = [];
      const judge = async (name) => {
        await page.waitForTimeout(150);
        const by = await page.evaluate(() => { scrollTo(1000, 0); const by = Math.max(scrollX, document.documentElement.scrollWidth - innerWidth); scrollTo(0, 0); return by; });
        if (by > 0) wrong.push(`${name}: the page moves sideways by ${by} px`);
        wrong.push(...(await broken(page)).map((one) => `${name}: ${one}`));
        if (shots) await page.screenshot({ path: join(shots, `${width}-${colorScheme}-${name}.png`) });
      };
      const open = async (name) => { if (!(await page.locator(`#leaf-${name}`).count())) await page.click(`#to-${name}`); };
      await judge('home');
      await page.click('#draw-2');
      await page.waitForSelector('.plan-view svg, .viewer');
      await judge('exercise');
      await open('draw');
      await judge('draw');
      await page.click('button#letters');
      const [x, y] = await place(page, point([16, 30]));
      if (width < 1000) await page.touchscreen.tap(x, y); else await page.mouse.click(x, y);
      await page.waitForSelector('.there');
      await judge('letters');
      await page.keyboard.press('Escape');
      await page.click('#leaf-draw details.said summary');
      await judge('corner');
      await page.click('#leaf-draw details.said summary');
      await page.click('button#eraser');
      await page.click('button#pencil');
      await page.click('#mark');
      await page.waitForSelector('.faults');
      await judge('marks');
      await page.click('#fault-2');
      await page.waitForSelector('.telling');
      await judge('fault');
      await open('key');
      await judge('key');
      await open('steps');
      await page.waitForSelector('.step-said h3');
      await judge('steps');
      await page.goto(`${page.url()}&read=1`);
      await ready(page);
      await open('isometric');
      await judge('isometric');
      await open('questions');
      await page.waitForSelector('#check-answers');
      await page.click('#check-answers');
      await page.waitForSelector('#said-0');
      await judge('questions');
      assert.ok(program.asked.length > 5);
      assert.deepEqual(wrong, []);
    });
  }
}
