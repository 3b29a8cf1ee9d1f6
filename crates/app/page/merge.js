// Two texts made from the same one, brought together line by line. What both changed in different ways is told apart, never guessed.
// @ts-check

/** Cells of a table of common lines that are still worked out; texts that differ more are taken as one difference. */
const MOST = 4e6;

/** @typedef {{base: string[], mine: string[], theirs: string[], clash: boolean, text: string[]}} Piece */

/** Lines, each with its end. @param {string} text */
const linesOf = (text) => text.match(/[^\n]*\n|[^\n]+$/g) ?? [];
const same = (a, b) => a.length === b.length && a.every((line, at) => line === b[at]);

/** Where each line of `a` stands in `b`, -1 where it does not: a longest common run of lines. @param {string[]} a @param {string[]} b */
function places(a, b) {
  const to = new Array(a.length).fill(-1);
  let top = 0, end = 0;
  while (top < a.length && top < b.length && a[top] === b[top]) { to[top] = top; top++; }
  while (end < a.length - top && end < b.length - top && a[a.length - 1 - end] === b[b.length - 1 - end]) { to[a.length - 1 - end] = b.length - 1 - end; end++; }
  const [n, m] = [a.length - top - end, b.length - top - end];
  if (!n || !m || n * m > MOST) return to;
  const wide = m + 1, common = new Uint32Array((n + 1) * wide);
  for (let i = n - 1; i >= 0; i--) {
    for (let j = m - 1; j >= 0; j--) {
      common[i * wide + j] = a[top + i] === b[top + j] ? common[(i + 1) * wide + j + 1] + 1 : Math.max(common[(i + 1) * wide + j], common[i * wide + j + 1]);
    }
  }
  for (let i = 0, j = 0; i < n && j < m;) {
    if (a[top + i] === b[top + j]) to[top + i++] = top + j++;
    else if (common[(i + 1) * wide + j] >= common[i * wide + j + 1]) i++;
    else j++;
  }
  return to;
}

/** Of one place: what nobody or only one of the two changed goes by itself. @returns {Piece} */
function piece(base, mine, theirs) {
  const text = same(mine, base) ? theirs : same(theirs, base) || same(mine, theirs) ? mine : null;
  return { base, mine, theirs, clash: text === null, text: text ?? mine };
}

/** The pieces that follow each other in the text that both lead to. @returns {Piece[]} */
export function pieces(base, mine, theirs) {
  const [b, m, t] = [linesOf(base), linesOf(mine), linesOf(theirs)];
  const [inMine, inTheirs] = [places(b, m), places(b, t)];
  const all = [];
  let at = [0, 0, 0];
  const upTo = (i, j, k) => {
    const [p, q, r] = [b.slice(at[0], i), m.slice(at[1], j), t.slice(at[2], k)];
    at = [i, j, k];
    if (!p.length && !q.length && !r.length) return;
    const whole = piece(p, q, r);
    // As many lines in all three: each answers to the one at its place.
    if (whole.clash && p.length === q.length && p.length === r.length) p.forEach((line, n) => all.push(piece([line], [q[n]], [r[n]])));
    else all.push(whole);
  };
  for (let i = 0; i < b.length; i++) {
    if (inMine[i] < 0 || inTheirs[i] < 0) continue;
    upTo(i, inMine[i], inTheirs[i]);
    upTo(i + 1, inMine[i] + 1, inTheirs[i] + 1);
  }
  upTo(b.length, m.length, t.length);
  return all;
}

/** The text that both lead to, mine where they clash; `null` where they do and that is not wanted. */
export function merged(base, mine, theirs, mineFirst = false) {
  const all = pieces(base, mine, theirs);
  return !mineFirst && all.some((one) => one.clash) ? null : all.map((one) => one.text.join('')).join('');
}
