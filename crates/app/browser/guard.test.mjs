// Who asks without leave, asks too much or asks nonsense is refused, and the program goes on; text of a user is never markup.
import assert from 'node:assert/strict';
import { Agent, request } from 'node:http';
import { readdir } from 'node:fs/promises';
import { test } from 'node:test';
import { answered, browser, context, example, leaf, seeded, sit, table } from './table.mjs';

/**
 * A plain request, its path as it stands.
 * @returns {Promise<{status: number, body: string}>}
 */
function ask(served, path, { method = 'GET', headers = {}, body = undefined, ticket = true, agent = /** @type {any} */ (false) } = {}) {
  const { hostname, port } = new URL(served.origin);
  return new Promise((answer, fail) => {
    const asked = request({ hostname, port, path, method, agent, headers: { ...(ticket ? { cookie: served.cookie } : {}), ...headers } }, (response) => {
      let all = '';
      response.setEncoding('utf8');
      response.on('data', (part) => { all += part; });
      response.on('end', () => answer({ status: response.statusCode, body: all }));
      response.on('error', fail);
    });
    // Who is refused while still sending has the answer already.
    asked.on('error', (error) => setTimeout(() => fail(error), 200));
    asked.end(body);
  });
}

const post = (served, path, body, more = {}) => ask(served, path, {
  method: 'POST', ...more, body: typeof body === 'string' || Buffer.isBuffer(body) ? body : JSON.stringify(body),
  headers: { origin: served.origin, 'content-type': 'application/json', ...more.headers },
});
const still = async (served) => assert.equal((await ask(served, '/api/jobs/job.wye?parts=answer')).status, 200, 'the program still answers');

test('nothing is shown without the ticket', async (t) => {
  const served = await table(t, await example('half-bath'));
  for (const path of ['/', '/job/job.wye', '/page/main.js', '/api/home', '/api/stock', '/api/jobs/job.wye?parts=text', '/api/jobs/job.wye/events', '/api/jobs/job.wye/sheets/all.pdf']) {
    assert.equal((await ask(served, path, { ticket: false })).status, 401, path);
    assert.equal((await ask(served, path, { ticket: false, headers: { cookie: served.cookie.replace(/.$/, 'x') } })).status, 401, path);
  }
  assert.equal((await ask(served, '/enter?key=00', { ticket: false })).status, 403);
});

test('a foreign host is misdirected', async (t) => {
  const served = await table(t, await example('half-bath'));
  const { port } = new URL(served.origin);
  for (const host of ['rebound.example', `rebound.example:${port}`, `127.0.0.1.rebound.example:${port}`, '127.0.0.1', '127.0.0.1:1']) {
    assert.equal((await ask(served, '/', { headers: { host } })).status, 421, host);
    assert.equal((await ask(served, `/enter?key=${served.key}`, { ticket: false, headers: { host } })).status, 421, host);
  }
});

test('only the page itself changes anything', async (t) => {
  const served = await table(t, await example('half-bath'));
  const text = await served.read();
  const { port } = new URL(served.origin);
  for (const path of ['/api/jobs/job.wye/change', '/api/jobs/job.wye/back', '/api/new', '/api/open']) {
    for (const origin of ['http://rebound.example', 'null', `https://127.0.0.1:${port}`, `http://127.0.0.1:${Number(port) + 1}`, `${served.origin}.rebound.example`]) {
      assert.equal((await post(served, path, { base: 1, text: '' }, { headers: { origin } })).status, 403, `${path} from ${origin}`);
    }
    const unsaid = await ask(served, path, { method: 'POST', headers: { 'content-type': 'application/json' }, body: '{"base":1,"text":""}' });
    assert.equal(unsaid.status, 403, `${path} from nowhere`);
  }
  // A form of another page can send no JSON.
  for (const kind of ['text/plain', 'application/x-www-form-urlencoded', '']) {
    const status = (await post(served, '/api/jobs/job.wye/change', { base: 1, text: '' }, { headers: { 'content-type': kind } })).status;
    assert.ok(status >= 400 && status < 500, `${kind}: ${status}`);
  }
  assert.equal(await served.read(), text);
});

test('no name leads out of the folder', async (t) => {
  const served = await table(t, await example('half-bath'));
  const names = ['../state/recent.json', '..%2fstate%2frecent.json', '%2e%2e%2fjob.wye', '%2e%2e/job.wye', '%252e%252e%252fjob.wye', '..%5cjob.wye', '%2fetc%2fpasswd', '%2Fetc%2Fpasswd.wye', 'job.wye%00', '%00', 'job.wye%2f..%2fjob.wye', '.wyeline%2fjob.wye.history', 'C%3A%5Cjob.wye'];
  for (const name of names) {
    for (const path of [`/api/jobs/${name}?parts=text`, `/api/jobs/${name}/sheets/1.svg`, `/api/jobs/job.wye/sheets/${name}`, `/api/jobs/job.wye/lists/${name}`, `/page/${name}`, `/page/fonts/${name}`]) {
      const { status, body } = await ask(served, path);
      assert.ok(status === 400 || status === 404, `${path}: ${status} ${body.slice(0, 80)}`);
    }
    for (const body of [{ file: decodeURIComponent(name) }, { example: decodeURIComponent(name) }]) {
      const { status } = await post(served, '/api/open', body);
      assert.ok(status === 400 || status === 404, `${JSON.stringify(body)}: ${status}`);
    }
  }
  await still(served);
});

test('a new job\'s file lies in the folder, whatever it is called', async (t) => {
  const served = await table(t, await example('half-bath'));
  const levels = [{ name: 'main', floor: "0'" }];
  for (const name of ['../../out', '/etc/out', '..', 'a/b\\c', '<script>', 'CON', '.hidden', 'x'.repeat(5000), 'a\nlevel evil floor 0\'']) {
    const { status, body } = await post(served, '/api/new', { name, units: 'ft-in', levels });
    assert.ok(status === 200 || status === 400, `${name.slice(0, 20)}: ${status} ${body}`);
    if (status === 200) assert.ok((await readdir(served.folder)).includes(JSON.parse(body).job), body);
  }
});

test('words of a user never become elements of the page', async (t) => {
  const evil = '<img src=x onerror=taken=1>', more = '"><script>taken=1</script><svg onload=taken=1>'.replaceAll('"', '');
  const text = (await example('half-bath'))
    .replace(/^job .*$/m, `job ${evil}${more}`).replace(/^address .*$/m, `address "${evil}"`).replace(/^drawn-by .*$/m, `drawn-by "${more}"`)
    .replace(/^note .*$/m, `note "${more}"\nnote "${evil}"`).replace('room "HALF BATH"', `room "${evil}${more}"`)
    .replaceAll('LAV1', `LAV1${evil.replaceAll(' ', '')}`) + `\nfixture ${evil} lavatory main 1',1' faces east\nwaste ${evil}\n  start 0',0'\n`;
  const served = await table(t, text, `${'<img src=x onerror=taken=1>'}.wye`);
  const page = await sit(t, await context(await browser(t)), served, { meant: /Content Security Policy|404/ });
  const clean = async (where) => {
    const found = await page.evaluate(() => {
      const odd = [];
      const walk = (root) => root.querySelectorAll('*').forEach((one) => {
        if (one.shadowRoot) walk(one.shadowRoot);
        const own = one.localName === 'script' && one.getAttribute('src') === '/page/main.js';
        if ((one.localName === 'script' && !own) || one.localName === 'img' || one.localName === 'foreignObject' || [...one.attributes].some((at) => at.name.startsWith('on'))) odd.push(one.outerHTML.slice(0, 200));
      });
      walk(document);
      return { odd, taken: 'taken' in window };
    });
    assert.deepEqual(found, { odd: [], taken: false }, where);
  };
  for (const name of ['plan', 'iso', 'words', 'answer', 'sizes', 'checks', 'lists', 'sheets']) {
    await leaf(page, name);
    await page.waitForTimeout(name === 'sheets' ? 2500 : 300);
    assert.ok((await page.locator(`#leaf-${name}`).innerText()).length > 20);
    await clean(name);
  }
  await leaf(page, 'words');
  await page.fill('#say', `note "${more}"`);
  await answered(page, () => page.click('#send'));
  await leaf(page, 'answer');
  await page.getByRole('button', { name: 'History' }).click();
  await page.getByRole('dialog').getByText('onload').first().waitFor();
  await clean('history');
  await page.goto(`${served.origin}/`);
  await page.getByText('onerror').first().waitFor();
  await clean('home');
  assert.match(await page.innerText('body'), /<img src=x onerror=taken=1>/, 'it is shown as it was written');
});

test('what a drawing says of a user is text in the file too', async (t) => {
  const served = await table(t, (await example('half-bath')).replace('"HALF BATH"', '"<script>1</script>"').replace(/^job .*$/m, 'job <script>&]]>'));
  const { body } = await ask(served, '/api/jobs/job.wye/sheets/1.svg?views=both');
  assert.ok(!/<script/i.test(body));
});

test('a body that is too large is refused, and the program goes on', async (t) => {
  const served = await table(t, await example('half-bath'));
  // What is too large is not read to its end: who goes on sending may find the line cut before the answer.
  const large = (path, body, more = {}) => post(served, path, body, more).catch((error) => ({ status: error.code }));
  // Twice the longest text and 1 kB are read.
  const most = (8 << 20) + 1024, around = '{"text":""}'.length;
  for (const path of ['/api/jobs/job.wye/change', '/api/open', '/api/new']) {
    for (const size of [most + 1 - around, 20 << 20]) {
      const { status } = await large(path, `{"text":"${'x'.repeat(size)}"}`);
      assert.ok([413, 'EPIPE', 'ECONNRESET'].includes(status), `${path}: ${status}`);
      await still(served);
    }
  }
  assert.equal((await post(served, '/api/jobs/job.wye/change', { base: 1, text: 'x'.repeat((4 << 20) + 1) })).status, 413);
  const { status } = await large('/api/jobs/job.wye/underlays/0', Buffer.alloc((32 << 20) + 1), { headers: { 'content-type': 'image/png' } });
  assert.ok([413, 400, 'EPIPE', 'ECONNRESET'].includes(status), String(status));
  await still(served);
});

test('a thousand at once are each answered, and the program goes on', { timeout: 240000 }, async (t) => {
  const served = await table(t, await example('flat-bath'));
  const agent = new Agent({ maxSockets: Infinity });
  const trial = { base: 1, trial: true, edit: { do: 'add', words: '# there' }, show: { parts: 'text' } };
  const all = await Promise.all(Array.from({ length: 1000 }, (_, at) => (at % 4 === 3
    ? post(served, '/api/jobs/job.wye/change', trial, { agent })
    : ask(served, ['/api/jobs/job.wye?parts=answer', '/api/jobs/job.wye?parts=iso,plan', '/page/main.js'][at % 4], { agent }))));
  const count = {};
  for (const { status } of all) count[status] = (count[status] ?? 0) + 1;
  t.diagnostic(`answers: ${JSON.stringify(count)}`);
  assert.deepEqual(Object.keys(count).filter((status) => !['200', '503'].includes(status)), []);
  await still(served);
});

test('fields that are not known are refused', async (t) => {
  const served = await table(t, await example('half-bath'));
  const text = await served.read();
  for (const [path, body] of /** @type {[string, object][]} */ ([
    ['/api/jobs/job.wye/change', { base: 1, text: 'x', forse: true }],
    ['/api/jobs/job.wye/change', { base: 1, edit: { do: 'add', words: '# x', more: 1 } }],
    ['/api/jobs/job.wye/change', { base: 1, edit: { do: 'erase' } }],
    ['/api/jobs/job.wye/back', { base: 1, steps: 2 }],
    ['/api/new', { name: 'x', units: 'ft-in', levels: [], path: '/tmp' }],
    ['/api/open', { path: '/tmp/x.wye' }],
    ['/api/open', { file: 'job.wye', example: 'half-bath' }],
    ['/api/jobs/job.wye/underlays/0/place', { gone: true, more: 1 }],
  ])) {
    const { status } = await post(served, path, body);
    assert.ok(status >= 400 && status < 500, `${path} ${JSON.stringify(body)}: ${status}`);
  }
  assert.equal((await ask(served, '/api/jobs/job.wye?parts=text&shell=1')).status, 400);
  assert.equal((await ask(served, '/api/jobs/job.wye/sheets?out=/tmp/x')).status, 400);
  assert.equal(await served.read(), text);
});

test('five hundred bodies of nonsense are each refused or understood, none breaks anything', { timeout: 240000 }, async (t) => {
  const served = await table(t, await example('half-bath'));
  const below = seeded(20260311);
  const whole = [
    ['/api/jobs/job.wye/change', '{"base":1,"edit":{"do":"length","pipe":"half-bath/1","words":"3\' 4-1/2\\""},"show":{"parts":"text,iso,plan","scale":48}}'],
    ['/api/jobs/job.wye/change', '{"base":1,"edit":{"do":"room","level":"main","a":[0,0],"b":[1000,2000.5],"name":"X","thick":null,"within":60},"trial":true}'],
    ['/api/jobs/job.wye/change', '{"base":1,"text":"units ft-in\\nlevel main floor 0\' ceiling 8\'\\n","tab":"a"}'],
    ['/api/jobs/job.wye/back', '{"base":1,"redo":true,"show":{"parts":"answer","systems":"waste,vent"}}'],
    ['/api/new', '{"name":"n","units":"ft-in","code":"ipc-2021","levels":[{"name":"main","floor":"0\'","ceiling":"8\'"}],"sewer":"4\'","pressure":"55 psi"}'],
    ['/api/open', '{"recent":0}'],
    ['/api/jobs/job.wye/underlays/0/place', '{"gone":false,"about":[0,1],"apart":3.5,"words":"12\'"}'],
  ];
  const bits = ['null', '-1', '1e999', '18446744073709551616', '[]', '{}', '"', '\\ud800', '\u0000', '\ufeff', ',', ':', 'true', '0.1', '[[[[', '"\\u0000"', '9'.repeat(400), '"' + 'é'.repeat(3000) + '"'];
  const seen = {};
  for (let round = 0; round < 500; round++) {
    const [path, body] = whole[below(whole.length)];
    let bytes = Buffer.from(body);
    for (let times = 1 + below(3); times > 0; times--) {
      const at = below(bytes.length + 1), to = Math.min(bytes.length, at + below(12));
      const put = [Buffer.alloc(0), Buffer.from(bits[below(bits.length)]), Buffer.from([below(256), below(256)]), bytes.subarray(at, to)][below(4)];
      bytes = below(12) === 0 ? bytes.subarray(0, at) : Buffer.concat([bytes.subarray(0, at), put, bytes.subarray(below(2) ? at : to)]);
    }
    if (round % 100 === 99) bytes = Buffer.from('['.repeat(20000));
    const { status, body: said } = await post(served, path, bytes);
    seen[status] = (seen[status] ?? 0) + 1;
    assert.ok(status < 500 || status === 503, `${path} ${bytes.toString('latin1').slice(0, 300)}: ${status} ${said}`);
  }
  t.diagnostic(`answers: ${JSON.stringify(seen)}`);
  await still(served);
});
