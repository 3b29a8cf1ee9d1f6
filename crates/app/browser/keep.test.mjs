// What is typed is in the file when it has been answered, whoever else types, whatever ends the program.
import assert from 'node:assert/strict';
import { writeFile } from 'node:fs/promises';
import { test } from 'node:test';
import { answered, browser, caretAfter, context, example, leaf, ready, sit, table, within, words } from './table.mjs';

const JOB = `job    Otter Row
units  ft-in

level main floor 0' ceiling 8'

# first
# second

wall main 0',0' 6',0' 6',8' 0',8' 0',0' thick 4-1/2"

# third
# fourth
`;

test('words typed in the page are in the file when they are answered, and there after a reload', async (t) => {
  const served = await table(t, JOB);
  const page = await sit(t, await context(await browser(t)), served);
  await caretAfter(page, '# first');
  for (const letter of ' floor') {
    const answer = await answered(page, () => page.keyboard.type(letter));
    assert.equal(answer.status(), 200);
    assert.equal(await served.read(), await words(page));
  }
  const typed = JOB.replace('# first', '# first floor');
  assert.equal(await served.read(), typed);
  await page.reload();
  await ready(page);
  assert.equal(await words(page), typed);
});

test('everything can be undone to the first text, and done again', async (t) => {
  const served = await table(t, JOB);
  const page = await sit(t, await context(await browser(t)), served);
  const texts = [JOB];
  for (const [after, type] of [['# first', '!'], ['6\',8\' 0\',8\'', ' '], ['# fourth', '\n# fifth']]) {
    await caretAfter(page, after);
    await answered(page, () => page.keyboard.insertText(type));
    texts.push(await served.read());
  }
  // A gesture is undone like a letter.
  await page.fill('#say', "fixture LAV1 lavatory main 3',0' faces north");
  await answered(page, () => page.click('#send'));
  texts.push(await served.read());
  assert.ok(texts[4].includes('LAV1'));
  for (const text of texts.slice(0, -1).reverse()) {
    await answered(page, () => page.click('#undo'));
    assert.equal(await served.read(), text);
    await within(1000, 'the page shows it', async () => (await words(page)) === text);
  }
  await within(1000, 'there is nothing before the first text', () => page.isDisabled('#undo'));
  for (const text of texts.slice(1)) {
    await answered(page, () => page.click('#redo'));
    assert.equal(await served.read(), text);
    await within(1000, 'the page shows it', async () => (await words(page)) === text);
  }
  await within(1000, 'there is nothing after the last', () => page.isDisabled('#redo'));
});

test('a program killed while somebody types has kept what it answered', async (t) => {
  const served = await table(t, JOB);
  const chrome = await browser(t);
  let text = JOB;
  for (let round = 0; round < 6; round++) {
    const place = await context(chrome);
    const page = await sit(t, place, served, { meant: /ERR_CONNECTION|ERR_EMPTY|ERR_INCOMPLETE|Failed to (fetch|load)/ });
    assert.equal(await words(page), text, 'the page shows what the file holds');
    let last = text;
    const asked = new Set([text]);
    page.on('request', (one) => { if (one.url().endsWith('/change')) asked.add(one.postDataJSON().text); });
    page.on('response', async (one) => { if (one.url().endsWith('/change')) last = (await one.json().catch(() => null))?.text ?? last; });
    await caretAfter(page, '# first');
    const typing = page.keyboard.type(`${round}abcdefghijklmnopqrstuvwxyz`.repeat(3), { delay: 4 });
    await new Promise((next) => setTimeout(next, 120 + 37 * round));
    await served.kill();
    await typing;
    await place.close();
    // Whoever looks next ends a save that was cut short.
    await served.start();
    text = await served.read();
    // What was being answered when the program was killed may be there whole; nothing else may.
    assert.ok(asked.has(text), 'the file is one of the texts that were sent, whole');
    assert.ok(text.length >= last.length, `nothing that was answered is lost: ${last.length - text.length} letters are`);
  }
  const page = await sit(t, await context(chrome), served);
  assert.equal(await words(page), text);
  assert.equal(await served.read(), text);
});

test('two tabs keep in step', async (t) => {
  const served = await table(t, JOB);
  const place = await context(await browser(t));
  const [one, other] = [await sit(t, place, served), await sit(t, place, served)];
  await caretAfter(one, '# second');
  await answered(one, () => one.keyboard.type(' to none'));
  await within(1000, 'the other tab shows it', async () => (await words(other)).includes('# second to none\n'));
});

test('of two tabs that type at the same time on different lines nothing is lost', async (t) => {
  const served = await table(t, JOB);
  const place = await context(await browser(t));
  const [one, other] = [await sit(t, place, served), await sit(t, place, served)];
  const [first, fourth] = [' the quick brown fox jumps over the lazy dog', ' pack my box with five dozen liquor jugs'];
  await caretAfter(one, '# first');
  await caretAfter(other, '# fourth');
  await Promise.all([one.keyboard.type(first, { delay: 12 }), other.keyboard.type(fourth, { delay: 15 })]);
  const both = JOB.replace('# first', `# first${first}`).replace('# fourth', `# fourth${fourth}`);
  await within(3000, 'both texts are in the file', async () => (await served.read()) === both).catch(async () => assert.equal(await served.read(), both));
  await within(1000, 'both tabs show both', async () => (await words(one)) === both && (await words(other)) === both);
});

test('what another program writes is taken in', async (t) => {
  const served = await table(t, JOB);
  const page = await sit(t, await context(await browser(t)), served);
  const theirs = JOB.replace('# third', '# third, from elsewhere');
  await writeFile(served.file, theirs);
  await within(1500, 'the page shows it', async () => (await words(page)) === theirs);
  await caretAfter(page, '# first');
  await answered(page, () => page.keyboard.type('!'));
  assert.equal(await served.read(), theirs.replace('# first', '# first!'));
  await answered(page, () => page.click('#undo'));
  assert.equal(await served.read(), theirs, 'only what the page did is undone');
});

/** Types on a line of which another program makes something else before that has been answered. */
async function both(t) {
  const served = await table(t, JOB);
  const page = await sit(t, await context(await browser(t)), served, { meant: /409/ });
  const theirs = JOB.replace('# second', '# second, theirs').replace('# fourth', '# fourth, theirs');
  await page.route('**/change', async (route) => { await writeFile(served.file, theirs); await route.continue(); }, { times: 1 });
  await caretAfter(page, '# second');
  const answer = await answered(page, () => page.keyboard.insertText(', mine'));
  assert.equal(answer.status(), 409);
  const dialog = page.getByRole('dialog');
  await dialog.waitFor();
  assert.equal(await served.read(), theirs, 'nothing is overwritten while it is asked');
  assert.match(await dialog.innerText(), /# second, mine/);
  assert.match(await dialog.innerText(), /# second, theirs/);
  return { served, page, dialog, theirs };
}

test('where both changed a line, mine can be kept, and the rest of theirs is', async (t) => {
  const { served, page, dialog, theirs } = await both(t);
  await answered(page, () => dialog.getByRole('button', { name: 'Keep mine' }).click());
  const kept = theirs.replace('# second, theirs', '# second, mine');
  assert.equal(await served.read(), kept);
  await within(1000, 'the page shows it', async () => (await words(page)) === kept);
  await dialog.waitFor({ state: 'detached' });
  await answered(page, () => page.click('#undo'));
  assert.equal(await served.read(), theirs, 'theirs is one step back');
});

test('where both changed a line, theirs can be taken', async (t) => {
  const { served, page, dialog, theirs } = await both(t);
  await dialog.getByRole('button', { name: 'Take theirs' }).click();
  await within(1000, 'the page shows it', async () => (await words(page)) === theirs);
  await dialog.waitFor({ state: 'detached' });
  assert.equal(await served.read(), theirs);
  await caretAfter(page, '# third');
  await answered(page, () => page.keyboard.type('.'));
  assert.equal(await served.read(), theirs.replace('# third', '# third.'), 'work goes on from there');
});

test('a gesture lands in the words, and in the file', async (t) => {
  const served = await table(t, await example('half-bath'));
  const page = await sit(t, await context(await browser(t)), served);
  await leaf(page, 'words');
  await page.fill('#say', 'room "LINEN" main 1\',1\'');
  await answered(page, () => page.click('#send'));
  assert.match(await served.read(), /^room "LINEN" +main +1',1'$/m);
  const text = await served.read();
  await within(1000, 'the page shows it', async () => (await words(page)) === text);
});
