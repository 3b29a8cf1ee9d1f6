// The two pictures of the README, taken anew where PICTURES names their folder: PICTURES=../../../docs/pictures node --test pictures.test.mjs
import { test } from 'node:test';
import { join } from 'node:path';
import { browser, context, example, leaf, sit, table } from './table.mjs';

const folder = process.env.PICTURES;

test('the page on a wide screen and on a phone', { skip: !folder }, async (t) => {
  const served = await table(t, await example('heron-cottage'), 'heron-cottage.wye');
  const chrome = await browser(t);
  const wide = await sit(t, await context(chrome), served);
  await wide.evaluate(() => {
    const { desk } = window;
    const pipe = desk.state.plan.pipes.find((one) => one.run === 'house-drain' && one.size === '2"' && one.lie === 'axis');
    desk.choose({ kind: 'pipe', id: pipe.id, line: pipe.line });
  });
  await wide.waitForTimeout(1200);
  await wide.screenshot({ path: join(folder, 'page-wide.png') });

  const shots = [];
  const phone = await sit(t, await context(chrome, 360, { hasTouch: true, isMobile: true, deviceScaleFactor: 2 }), served);
  for (const name of ['answer', 'iso', 'lists']) {
    await leaf(phone, name);
    await phone.waitForTimeout(500);
    shots.push((await phone.screenshot()).toString('base64'));
  }
  const strip = await (await context(chrome, 1140)).newPage();
  await strip.setViewportSize({ width: 1140, height: 820 });
  await strip.setContent(`<body style="margin:10px;display:flex;gap:20px;background:#fff">${shots.map((one) => `<img width="360" height="800" src="data:image/png;base64,${one}" style="outline:1px solid #8d8270">`).join('')}</body>`);
  await strip.screenshot({ path: join(folder, 'page-phone.png') });
});
