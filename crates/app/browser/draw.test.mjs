// A hall bath from an empty job: by mouse, by the keys alone, by touch. Each way ends in the same words, and in an isometric of
// every run.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { answered, browser, context, sit, table, within } from './table.mjs';

const EMPTY = `job    Hall bath
units  ft-in
code   ipc-2021

level  main floor 0' ceiling 8' joists 9-1/4" run north-south
roof   10'
`;

/** What a plumber would write who walks the same way: the closet and the lavatory are caught on the way to the tub. */
const DRAWN = `${EMPTY}
wall main 0',0' 8',0' 8',5'6" 0',5'6" 0',0'

fixture WC1 water-closet main 2',5'6" faces south
fixture LAV1 lavatory    main 5',5'6" faces south
fixture BT1  bathtub     main 8',2'6" faces west drain left

waste waste-1
  start 0',4'6" main floor -9" unverified
  east  to abreast WC1.drain
  catch WC1
  east  to abreast LAV1.tee
  catch LAV1
  end   BT1

vent vent-1
  start LAV1.tee
  up    through roof

cold cold-1
  start 0',5'2" main floor -5" unverified
  east  to abreast WC1.cold
  catch WC1
  east  to abreast LAV1.cold
  catch LAV1
  end   BT1

hot hot-1
  start 0',4'10" main floor -7" unverified
  east  to abreast LAV1.hot
  catch LAV1
  end   BT1
`;

/** Blanks line words up; what they say is compared. */
const plain = (text) => text.split('\n').map((line) => line.trim().replace(/\s+/g, ' ')).filter(Boolean);

/** Where a place of the building, in feet, is on the screen, once the page has been laid out. */
const onScreen = (page, [east, north]) => page.evaluate(async ([e, n]) => {
  for (let frame = 0; frame < 2; frame++) await new Promise((next) => requestAnimationFrame(next));
  const svg = /** @type {SVGSVGElement} */ (document.querySelector('.plan svg.sheet'));
  const at = new DOMPoint(e * 304.8, -n * 304.8).matrixTransform(/** @type {DOMMatrix} */ (svg.getScreenCTM()));
  return [at.x, at.y];
}, [east, north]);

/** Where a port is, in feet. */
const port = (page, tag, name) => page.evaluate(([tag, name]) => {
  const fixture = window.desk.state.plan.fixtures.find((one) => one.tag === tag);
  return fixture.ports.find((one) => one.name === name).at.slice(0, 2).map((mm) => mm / 304.8);
}, [tag, name]);

/** A hall bath told by presses of a hand that knows how to press at a place and how to take a tool. */
async function hallBath(page, { press, tool, choose }) {
  await tool('#tool-room');
  await press([0, 0], { silent: true });
  await press([8, 5.5]);
  for (const [kind, at] of [['water-closet', [2, 5.45]], ['lavatory', [5, 5.45]], ['bathtub', [7.95, 2.5]]]) {
    await choose('#kinds', kind);
    await press(at);
  }
  await tool('#tool-choose');
  await press([7, 2.5], { silent: true });
  await answered(page, () => tool('.acts button:text-is("Mirror")'));
  const walk = async (system, start, caught, end) => {
    await tool(`#pipe-${system}`);
    await press(start);
    await tool('#catching');
    for (const [tag, name] of caught) await press(await port(page, tag, name), { changes: 2 });
    await tool('#catching');
    await press(await port(page, ...end));
  };
  await walk('waste', [0, 4.5], [['WC1', 'drain'], ['LAV1', 'tee']], ['BT1', 'drain']);
  await tool('#pipe-vent');
  await press(await port(page, 'LAV1', 'tee'));
  await answered(page, () => tool('#through-roof'));
  await walk('cold', [0, 5 + 2 / 12], [['WC1', 'cold'], ['LAV1', 'cold']], ['BT1', 'cold']);
  await walk('hot', [0, 4 + 10 / 12], [['LAV1', 'hot']], ['BT1', 'hot']);
}

/** The words are those a plumber would write, in the page and in the file, and the isometric shows every run. */
async function asDrawn(page, served) {
  await within(2000, 'the file holds what was drawn', async () => (await served.read()).includes('hot hot-1') && /hot hot-1[\s\S]*end +BT1/.test(await served.read()));
  assert.deepEqual(plain(await served.read()), plain(DRAWN));
  const systems = await page.evaluate(() => {
    const pipes = [...document.querySelectorAll('#leaf-iso g.pipe')];
    return [...new Set(pipes.map((one) => one.getAttribute('data-system')))].sort();
  });
  assert.deepEqual(systems, ['cold', 'hot', 'vent', 'waste']);
  const shown = await page.evaluate(() => document.querySelectorAll('#leaf-iso g.pipe').length);
  const told = await page.evaluate(() => window.desk.state.plan.pipes.length);
  assert.equal(shown, told, 'every pipe of the job is on the isometric');
}

/** Presses and waits for what they change. */
function pressing(page, act) {
  return async (at, { silent = false, changes = 1 } = {}) => {
    const before = await page.evaluate(() => window.desk.state.version);
    await act(at);
    if (silent) return;
    await within(5000, `${changes} changes after a press at ${at}`, () => page.evaluate(([before, changes]) => window.desk.state.version >= before + changes && !window.desk.state.trial, [before, changes]));
  };
}

test('a hall bath is drawn by mouse, undone to the first word and done again', async (t) => {
  const served = await table(t, EMPTY);
  const chrome = await browser(t);
  const page = await sit(t, await context(chrome), served);
  const press = pressing(page, async (at) => {
    const [x, y] = await onScreen(page, at);
    await page.mouse.move(x - 2, y - 2);
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.up();
  });
  await hallBath(page, { press, tool: (one) => page.click(one), choose: (one, value) => page.selectOption(one, value) });
  await asDrawn(page, served);

  const step = async (button) => {
    const before = await page.evaluate(() => window.desk.state.version);
    await page.click(button);
    await within(5000, `the step of ${button}`, () => page.evaluate((before) => window.desk.state.version > before, before));
  };
  while (await page.evaluate(() => window.desk.state.undo)) await step('#undo');
  assert.equal(await served.read(), EMPTY, 'undone to the first word');
  while (await page.evaluate(() => window.desk.state.redo)) await step('#redo');
  assert.deepEqual(plain(await served.read()), plain(DRAWN), 'and done again');
});

test('the same hall bath is drawn by the keys alone', async (t) => {
  const served = await table(t, EMPTY);
  const chrome = await browser(t);
  const page = await sit(t, await context(chrome), served);
  // A tool is reached by Tab like everything on the page; here the focus is put there, and the key does the rest.
  const tool = async (one) => { await page.focus(one); await page.keyboard.press('Enter'); };
  const choose = async (one, value) => {
    await page.focus(one);
    await page.keyboard.type(value.replaceAll('-', ' '));
  };
  const press = pressing(page, async ([east, north]) => {
    await page.focus('.plan svg.sheet');
    // The first key brings the pencil out where the plan's middle is.
    if (!(await pencil())) await page.keyboard.press('ArrowRight');
    for (let n = 0; n < 400; n++) {
      const [e, no] = await pencil();
      const [de, dn] = [east * 304.8 - e, north * 304.8 - no];
      if (Math.abs(de) <= 12.8 && Math.abs(dn) <= 12.8) break;
      const key = Math.abs(de) > Math.abs(dn) ? (de > 0 ? 'ArrowRight' : 'ArrowLeft') : (dn > 0 ? 'ArrowUp' : 'ArrowDown');
      await page.keyboard.press(Math.max(Math.abs(de), Math.abs(dn)) > 200 ? `Shift+${key}` : key);
    }
    await page.keyboard.press('Enter');
  });
  const pencil = () => page.evaluate(() => window.hand()?.at ?? null);
  await hallBath(page, { press, tool, choose });
  await asDrawn(page, served);
});

test('the same hall bath is drawn by touch on a tablet', async (t) => {
  const served = await table(t, EMPTY);
  const chrome = await browser(t);
  const page = await sit(t, await context(chrome, 1024, { hasTouch: true, isMobile: true }), served);
  const press = pressing(page, async (at) => {
    const [x, y] = await onScreen(page, at);
    await page.touchscreen.tap(x, y);
  });
  await hallBath(page, { press, tool: (one) => page.tap(one), choose: (one, value) => page.selectOption(one, value) });
  await asDrawn(page, served);
});
