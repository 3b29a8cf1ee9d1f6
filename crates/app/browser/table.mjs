// What the tests stand on: a program serving a folder of its own, and pages in a real browser that may not complain.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { chromium } from 'playwright-core';

const here = import.meta.dirname;
const root = resolve(here, '../../..');
const program = () => process.env.WYELINE ?? join(root, 'target/debug/wyeline');

/** What is to be ended after a test, the last thing first. @type {WeakMap<object, (() => unknown)[]>} */
const endings = new WeakMap();
function later(t, end) {
  const all = endings.get(t) ?? [];
  if (!endings.has(t)) {
    t.after(async () => {
      const wrong = [];
      for (const end of all.reverse()) try { await end(); } catch (error) { wrong.push(error); }
      if (wrong.length) throw wrong[0];
    });
  }
  endings.set(t, all);
  all.push(end);
}

/** The text of a shipped example. */
export const example = (name) => readFile(join(root, 'examples', `${name}.wye`), 'utf8');

/**
 * Serves a job in a fresh folder, until the test ends. The list of jobs lately opened lies there too: that of whoever runs the
 * tests is not touched.
 * @param {import('node:test').TestContext} t
 * @param {string} text
 * @param {string} name of the file
 */
export async function table(t, text, name = 'job.wye') {
  const folder = await mkdtemp(join(tmpdir(), 'wyeline-table-'));
  await mkdir(join(folder, 'jobs'));
  const file = join(folder, 'jobs', name);
  await writeFile(file, text);
  const served = { folder: join(folder, 'jobs'), file, name, address: '', origin: '', key: '', cookie: '', start, stop, kill, read: () => readFile(file, 'utf8') };
  /** @type {import('node:child_process').ChildProcess|null} */
  let child = null;

  async function start() {
    child = spawn(program(), ['open', file, '--no-browser'], {
      env: { ...process.env, XDG_STATE_HOME: join(folder, 'state'), HOME: folder }, stdio: ['ignore', 'pipe', 'inherit'],
    });
    const lines = createInterface({ input: child.stdout });
    for await (const line of lines) { served.address = line; break; }
    const at = new URL(served.address);
    served.origin = at.origin;
    served.key = at.searchParams.get('key') ?? '';
    served.cookie = `wyeline-${at.port}=${served.key}`;
  }

  function end(signal) {
    const one = child;
    child = null;
    if (!one || one.exitCode !== null || one.signalCode !== null) return Promise.resolve();
    return new Promise((ended) => { one.once('exit', ended); one.kill(signal); });
  }
  function stop() { return end('SIGTERM'); }
  function kill() { return end('SIGKILL'); }

  later(t, async () => { await kill(); await rm(folder, { recursive: true, force: true }); });
  await start();
  return served;
}

/** A browser until the test ends. */
export async function browser(t) {
  const one = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });
  later(t, () => one.close());
  return one;
}

/**
 * A page that has been let in and is ready. Whatever it complains of fails the test, but what matches `meant`.
 * @param {import('node:test').TestContext} t
 * @param {import('playwright-core').BrowserContext} context
 */
export async function sit(t, context, served, { meant = /^$/, path = '' } = {}) {
  const page = await context.newPage();
  const complaints = [];
  const note = (words) => { if (!meant.test(words)) complaints.push(words); };
  page.on('console', (message) => { if (message.type() === 'error') note(`${message.text()} ${message.location().url}`); });
  page.on('pageerror', (error) => note(String(error)));
  later(t, () => assert.deepEqual(complaints, [], 'the page complains of nothing'));
  await page.goto(served.address);
  if (path) await page.goto(served.origin + path);
  await ready(page);
  return page;
}

/** Waits until everything that is open has been shown. */
export const ready = (page) => page.waitForSelector('html[data-ready=yes]');

/** A context at a width that shows that many leaves: 360 one, 820 two, 1600 three. */
export const context = (chrome, width = 1600, more = {}) => chrome.newContext({ viewport: { width, height: width < 720 ? 800 : 1000 }, reducedMotion: 'reduce', ...more });

/** Opens a leaf, if it does not lie open. */
export async function leaf(page, name) {
  if (!(await page.locator(`#leaf-${name}`).count())) await page.click(`#to-${name}`);
  await page.waitForSelector(`#leaf-${name} .leaf-body > *`);
}

/** The words as they stand in the page. */
export const words = (page) => page.inputValue('#words');

/** Puts the caret right behind some words. */
export async function caretAfter(page, some) {
  await page.focus('#words');
  await page.evaluate((some) => {
    const area = /** @type {HTMLTextAreaElement} */ (document.querySelector('#words'));
    const at = area.value.indexOf(some);
    if (at < 0) throw new Error(`the words do not hold ${some}`);
    area.setSelectionRange(at + some.length, at + some.length);
  }, some);
}

/** Does something and waits for the answer to the change it makes. */
export async function answered(page, act) {
  const [answer] = await Promise.all([page.waitForResponse((one) => /\/(change|back)$/.test(one.url()) && !one.request().postDataJSON().trial), act()]);
  return answer;
}

/** Waits until something holds, or fails after so long, ms. */
export async function within(ms, what, holds) {
  const end = performance.now() + ms;
  for (;;) {
    if (await holds()) return;
    assert.ok(performance.now() < end, `not within ${ms} ms: ${what}`);
    await new Promise((next) => setTimeout(next, 20));
  }
}

/** Random numbers that are the same every time (a linear congruential generator; Numerical Recipes, 2nd ed., 7.1). */
export function seeded(seed) {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}

/** Where a place of the practice paper, mm, is on the screen, once the page has been laid out. */
export const place = (page, [x, y]) => page.evaluate(async ([x, y]) => {
  for (let frame = 0; frame < 2; frame++) await new Promise((next) => requestAnimationFrame(next));
  const svg = /** @type {SVGSVGElement} */ (document.querySelector('svg.drawing'));
  const at = new DOMPoint(x, y).matrixTransform(/** @type {DOMMatrix} */ (svg.getScreenCTM()));
  return [at.x, at.y];
}, [x, y]);

/** Draws on the practice paper with the mouse, from one place to another, mm. */
export async function drag(page, a, b) {
  const [[x, y], [u, v]] = [await place(page, a), await place(page, b)];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move((x + u) / 2, (y + v) / 2, { steps: 3 });
  await page.mouse.move(u, v, { steps: 3 });
  await page.mouse.up();
}
