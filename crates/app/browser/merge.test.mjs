// Two texts made from the same one, line by line: what only one changed is kept, what both changed is told apart.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { merged, pieces } from '../page/merge.js';
import { seeded } from './table.mjs';

test('changes of different lines are both kept', () => {
  assert.equal(merged('a\nb\nc\n', 'A\nb\nc\n', 'a\nb\nC\n'), 'A\nb\nC\n');
  assert.equal(merged('a\nb\nc\n', 'a\nnew\nb\nc\n', 'a\nb\n'), 'a\nnew\nb\n');
});

test('lines that touch are different lines where none came or went', () => {
  assert.equal(merged('a\nb\n', 'A\nb\n', 'a\nB\n'), 'A\nB\n');
});

test('the same line changed in two ways is a clash, and nobody\'s until it is said whose', () => {
  assert.equal(merged('a\nb\nc\n', 'a\nmine\nc\n', 'A\ntheirs\nc\n'), null);
  assert.equal(merged('a\nb\nc\n', 'a\nmine\nc\n', 'A\ntheirs\nc\n', true), 'A\nmine\nc\n');
  assert.deepEqual(pieces('a\nb\n', 'a\nx\n', 'a\ny\n').filter((one) => one.clash).map((one) => [one.mine, one.theirs]), [[['x\n'], ['y\n']]]);
});

test('the same change by both is one change', () => {
  assert.equal(merged('a\nb\n', 'a\nx\n', 'a\nx\n'), 'a\nx\n');
});

test('what only one has changed is the whole text, whatever it is', () => {
  // By definition of a merge: with one side unchanged, the other is the answer.
  const below = seeded(7);
  for (let round = 0; round < 2000; round++) {
    const text = () => Array.from({ length: below(9) }, () => 'ab\n\r'[below(4)]).join('');
    const [base, other] = [text(), text()];
    assert.equal(merged(base, base, other), other);
    assert.equal(merged(base, other, base), other);
    assert.equal(merged(base, other, other), other);
  }
});
