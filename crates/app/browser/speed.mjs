// How heavy the page is, how soon something is seen, and how long a key takes to become a new isometric. Nothing is asserted:
// it prints. WYELINE names the program, which should be a release build; an argument names how many keys (200).
//
// What is measured of a key: from the time at which the browser got it (the event's own) to
// - in the page: the new isometric's elements stand in the document, seen by a MutationObserver, before layout;
// - frame made: the frame with them has been laid out and painted by the page's own thread. A task posted from within that frame's
//   requestAnimationFrame runs right after it;
// - painted: the frame after that one begins, two requestAnimationFrames on. This waits up to a frame (16.7 ms at 60 Hz) longer than the
//   page needs, and stands for the time that raster and screen take, which no script sees. The aim is held against this one.
// The page itself waits for no frame and no timer between the key and the new elements.
import { execFileSync } from 'node:child_process';
import { cpus } from 'node:os';
import { join, resolve } from 'node:path';
import { browser, context, example, ready, sit, table } from './table.mjs';

const root = resolve(import.meta.dirname, '../../..');
process.env.WYELINE ??= join(root, 'target/release/wyeline');
const keys = Number(process.argv[2] ?? 200);

/** A test's place to leave things to be ended. */
const endings = [];
const t = /** @type {any} */ ({ after: (end) => endings.push(end) });

const at = (all, part) => [...all].sort((a, b) => a - b)[Math.min(all.length - 1, Math.floor(all.length * part))];
const ms = (time) => `${time.toFixed(1)} ms`;

async function weight(chrome, served) {
  const place = await context(chrome);
  const page = await place.newPage();
  const wire = await place.newCDPSession(page);
  await wire.send('Network.enable');
  const address = new Map(), bytes = new Map();
  wire.on('Network.responseReceived', ({ requestId, response }) => address.set(requestId, new URL(response.url).pathname));
  wire.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => bytes.set(requestId, encodedDataLength));
  await page.goto(served.address);
  await ready(page);
  await page.waitForTimeout(1000);
  let files = 0, said = 0;
  for (const [id, path] of [...address].sort((a, b) => (bytes.get(b[0]) ?? 0) - (bytes.get(a[0]) ?? 0))) {
    const size = bytes.get(id) ?? 0;
    if (path.startsWith('/api/')) { said += size; continue; }
    files += size;
    console.log(`  ${String(size).padStart(7)}  ${path}`);
  }
  console.log(`page: ${(files / 1000).toFixed(1)} kB over the wire (aim: under 500); what it asks of the job first: ${(said / 1000).toFixed(1)} kB`);
  await place.close();
}

async function first(chrome, served, what) {
  const seen = [];
  for (let round = 0; round < 7; round++) {
    const place = await context(chrome);
    await place.addInitScript(() => {
      const look = new MutationObserver(() => {
        if (!document.querySelector('.leaf.iso .drawn svg .pipe') || !document.querySelector('.leaf.plan svg .pipe')) return;
        look.disconnect();
        requestAnimationFrame(() => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () => { port1.close(); log.made.push(performance.now() - from); };
        port2.postMessage(0);
      });
      requestAnimationFrame(() => requestAnimationFrame(() => { window['seen'] = performance.now(); }));
      });
      look.observe(document, { childList: true, subtree: true });
    });
    const page = await place.newPage();
    await page.goto(served.address);
    await ready(page);
    await page.waitForTimeout(200);
    seen.push(await page.evaluate(() => window['seen']));
    await place.close();
  }
  console.log(`${what}: plan and isometric seen after ${ms(at(seen, 0.5))} in the middle of ${seen.length} first visits, ${ms(at(seen, 0.99))} at most (aim: under 1000)`);
}

async function edits(chrome, what, text, aim) {
  const served = await table(t, text);
  await first(chrome, served, what);
  const page = await sit(t, await context(chrome), served);
  const found = '  up 8"';
  await page.focus('#words');
  await page.evaluate((found) => {
    const area = /** @type {HTMLTextAreaElement} */ (document.querySelector('#words'));
    const place = area.value.indexOf(found) + found.length - 2;
    const select = () => area.setSelectionRange(place, place + 1);
    select();
    const log = window['log'] = { drawn: [], made: [], painted: [] };
    let pressed = 0;
    addEventListener('keydown', (event) => { pressed = event.timeStamp; }, true);
    new MutationObserver(() => {
      if (!pressed) return;
      const from = pressed;
      pressed = 0;
      log.drawn.push(performance.now() - from);
      requestAnimationFrame(() => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () => { port1.close(); log.made.push(performance.now() - from); };
        port2.postMessage(0);
      });
      requestAnimationFrame(() => requestAnimationFrame(() => { log.painted.push(performance.now() - from); select(); }));
    }).observe(/** @type {Node} */ (document.querySelector('.leaf.iso .drawn')), { childList: true, subtree: true });
  }, found);
  for (let one = 0; one < keys; one++) {
    await page.keyboard.press(one % 2 ? '8' : '9');
    for (;;) {
      if (await page.evaluate(() => window['log'].painted.length) > one) break;
      await new Promise((next) => setTimeout(next, 5));
    }
  }
  const { drawn, made, painted } = await page.evaluate(() => window['log']);
  console.log(`${what}, ${text.length} letters, ${painted.length} keys: new isometric in the page after ${ms(at(drawn, 0.5))} (95 %: ${ms(at(drawn, 0.95))}), frame made after ${ms(at(made, 0.5))} (95 %: ${ms(at(made, 0.95))}), painted after ${ms(at(painted, 0.5))} (95 %: ${ms(at(painted, 0.95))}; aim: under ${aim}), up to two frames of the screen among it`);
}

const job = (name) => execFileSync('cargo', ['run', '--quiet', '-p', 'wyeline-bench', '--example', 'job', '--', name], { cwd: root, encoding: 'utf8', maxBuffer: 1 << 28 });

console.log(`${cpus().length} x ${cpus()[0]?.model}, ${process.env.WYELINE}`);
try {
  const chrome = await browser(t);
  await weight(chrome, await table(t, await example('heron-cottage')));
  await edits(chrome, 'house', job('house'), 50);
  await edits(chrome, 'block', job('block'), 150);
} catch (error) {
  console.error(error);
  process.exitCode = 1;
} finally {
  for (const end of endings.reverse()) await end().catch(() => { /* said above */ });
}
