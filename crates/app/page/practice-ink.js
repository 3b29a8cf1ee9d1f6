// What lies on the isometric paper and how it comes there: grid points and the six ways between them, strokes, letters, the eraser,
// undo. Points are [x, y] in mm of paper, x right and y down. Knows nothing of the page.
// @ts-check

/** @typedef {[number, number]} Point */
/** @typedef {Point[]} Stroke */
/** @typedef {{at: Point, text: string, height: number}} Letters */
/** @typedef {{strokes: readonly Stroke[], letters: readonly Letters[]}} Drawn */

const COS_30 = Math.cos(Math.PI / 6);
const fine = (mm) => Math.round(mm * 1000) / 1000;
export const far = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** The ways along the axes: columns to the right and half squares down, and in words. */
export const WAYS = /** @type {const} */ ([
  { by: [0, -2], words: 'up' }, { by: [1, -1], words: 'up to the right' }, { by: [1, 1], words: 'down to the right' },
  { by: [0, 2], words: 'down' }, { by: [-1, 1], words: 'down to the left' }, { by: [-1, -1], words: 'up to the left' },
]);

/** Grid points stand in columns `pitch` x cos 30 apart, `pitch` above one another, every other column half a pitch lower. */
export class Grid {
  /** @param {number} pitch distance of neighbouring points along an axis, mm */
  constructor(pitch) { this.pitch = pitch; }

  /** @param {number} column @param {number} half half squares down; odd with an odd column @returns {Point} */
  point(column, half) { return [fine(column * this.pitch * COS_30), fine((half * this.pitch) / 2)]; }

  /** Column and half squares of the nearest grid point. @param {Point} p @returns {[number, number]} */
  index(p) {
    const left = Math.floor(p[0] / (this.pitch * COS_30));
    const near = [left, left + 1].map((column) => {
      const odd = Math.abs(column % 2);
      return /** @type {[number, number]} */ ([column, 2 * Math.round((p[1] / this.pitch) - odd / 2) + odd]);
    });
    return far(this.point(...near[0]), p) <= far(this.point(...near[1]), p) ? near[0] : near[1];
  }

  /** @param {Point} p */
  nearest(p) { return this.point(...this.index(p)); }

  /** The grid point so many squares along a way. @param {Point} p @param {number} way @param {number} squares */
  step(p, way, squares = 1) {
    const [column, half] = this.index(p), [right, down] = WAYS[way].by;
    return this.point(column + right * squares, half + down * squares);
  }

  /**
   * Where a line from a grid point ends when the hand is at `to`: along an axis where the hand is less than half a square beside it,
   * else at the nearest grid point, as 45s of the plan need it.
   * @param {Point} from @param {Point} to
   */
  snap(from, to) {
    const { pitch } = this;
    const d = [to[0] - from[0], to[1] - from[1]];
    let best = { beside: pitch / 2, way: -1, squares: 0 };
    for (const way of [0, 1, 2]) {
      const [right, down] = WAYS[way].by, u = [right * COS_30, down / 2];
      const beside = Math.abs(d[0] * u[1] - d[1] * u[0]), squares = Math.round((d[0] * u[0] + d[1] * u[1]) / pitch);
      if (beside < best.beside && squares !== 0) best = { beside, way, squares };
    }
    const at = best.way < 0 ? this.nearest(to) : this.step(from, best.way, best.squares);
    return { at, ...this.between(from, at) };
  }

  /** Along which way one grid point lies from another, and how many squares; -1 where along none. @param {Point} from @param {Point} to */
  between(from, to) {
    const [a, b] = [this.index(from), this.index(to)], [right, down] = [b[0] - a[0], b[1] - a[1]];
    const squares = Math.max(Math.abs(right), Math.abs(down) / 2);
    const way = squares ? WAYS.findIndex(({ by }) => by[0] * squares === right && by[1] * squares === down) : -1;
    return { way, squares: way < 0 ? 0 : squares };
  }
}

/** A stroke as dashes: begun and ended by one, gaps of `gap` mm, dashes as near to `dash` mm as comes out even. @param {Stroke} stroke */
export function dashed(stroke, dash, gap) {
  const long = stroke.slice(1).reduce((sum, p, i) => sum + far(stroke[i], p), 0);
  const count = Math.max(2, Math.round((long + gap) / (dash + gap)));
  const each = (long - (count - 1) * gap) / count;
  if (each < gap / 2) return [stroke];
  return Array.from({ length: count }, (_, i) => piece(stroke, i * (each + gap), i * (each + gap) + each));
}

/** The part of a stroke between two lengths from its start. @param {Stroke} stroke @returns {Stroke} */
function piece(stroke, begin, end) {
  /** @type {Stroke} */ const part = [];
  let run = 0;
  for (let i = 1; i < stroke.length; i++) {
    const [a, b] = [stroke[i - 1], stroke[i]], long = far(a, b);
    const at = (s) => /** @type {Point} */ ([fine(a[0] + ((b[0] - a[0]) * (s - run)) / long), fine(a[1] + ((b[1] - a[1]) * (s - run)) / long)]);
    if (long > 0 && run + long > begin && run < end) {
      if (!part.length) part.push(at(Math.max(begin, run)));
      part.push(run + long > end ? at(end) : b);
    }
    run += long;
  }
  return part;
}

/** From a point to a stretch, mm. @param {Point} p @param {Point} a @param {Point} b */
export function away(p, a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]], long = dx * dx + dy * dy;
  const t = long ? Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long)) : 0;
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

/**
 * The part of a stretch from p to q that an eraser takes which goes from a to b, as two shares of it; nothing where it takes none.
 * What is nearer than `r` to a stretch is convex, so it is one part: its nearest place by thirds, its ends by halves.
 * @returns {[number, number]|null}
 */
function taken(p, q, a, b, r) {
  if (Math.max(p[0], q[0]) + r < Math.min(a[0], b[0]) || Math.min(p[0], q[0]) - r > Math.max(a[0], b[0])
    || Math.max(p[1], q[1]) + r < Math.min(a[1], b[1]) || Math.min(p[1], q[1]) - r > Math.max(a[1], b[1])) return null;
  const off = (t) => away([p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t], a, b);
  let [low, high] = [0, 1];
  for (let i = 0; i < 40; i++) {
    const third = (high - low) / 3;
    if (off(low + third) <= off(high - third)) high -= third; else low += third;
  }
  const near = off(0) <= off(low) ? 0 : off(1) <= off(low) ? 1 : low;
  if (off(near) > r) return null;
  const edge = (out) => {
    if (off(out) <= r) return out;
    let [inside, outside] = [near, out];
    for (let i = 0; i < 30; i++) { const half = (inside + outside) / 2; if (off(half) <= r) inside = half; else outside = half; }
    return inside;
  };
  return [edge(0), edge(1)];
}

/** What is left of a stroke where an eraser went over it. @param {Stroke} stroke @returns {Stroke[]} the same one alone where nothing is taken */
function rubbed(stroke, a, b, r) {
  /** @type {Stroke[]} */ const left = [];
  /** @type {Stroke} */ let part = [stroke[0]];
  if (stroke.length === 1) return away(stroke[0], a, b) <= r ? [] : [stroke];
  let touched = false;
  for (let i = 1; i < stroke.length; i++) {
    const [p, q] = [stroke[i - 1], stroke[i]], cut = taken(p, q, a, b, r);
    if (!cut) { part.push(q); continue; }
    touched = true;
    const at = (t) => /** @type {Point} */ ([fine(p[0] + (q[0] - p[0]) * t), fine(p[1] + (q[1] - p[1]) * t)]);
    if (cut[0] > 0) part.push(at(cut[0]));
    left.push(part);
    part = cut[1] < 1 ? [at(cut[1]), q] : [];
  }
  if (!touched) return [stroke];
  left.push(part);
  // Crumbs shorter than a pencil's point are gone too.
  return left.filter((one) => one.length > 1 && one.slice(1).reduce((sum, p, i) => sum + far(one[i], p), 0) > 0.4);
}

/** The box in which letters stand, mm: about two thirds of their height to a letter. @param {Letters} one */
export function boxOf({ at, text, height }) {
  const wide = Math.max(1, text.length) * height * 0.72;
  return { x: at[0] - wide / 2, y: at[1] - height / 2, w: wide, h: height };
}

/** Which letters a place lies on; -1 for none. @param {readonly Letters[]} letters @param {Point} p @param {number} more mm around them */
export function lettersAt(letters, p, more) {
  return letters.findLastIndex((one) => { const b = boxOf(one); return p[0] > b.x - more && p[0] < b.x + b.w + more && p[1] > b.y - more && p[1] < b.y + b.h + more; });
}

/** All that is drawn, and every state it was in before. States are never changed, only replaced. */
export class Ink {
  /** @param {() => void} changed */
  constructor(changed) {
    this.changed = changed;
    /** @type {Drawn} */ this.now = { strokes: [], letters: [] };
    /** @type {Drawn[]} */ this.past = [];
    /** @type {Drawn[]} */ this.future = [];
  }

  /** Begins with what was kept, or nothing. */
  load(drawing) {
    this.now = { strokes: (drawing?.strokes ?? []).filter((stroke) => stroke.length), letters: drawing?.letters ?? [] };
    this.past = []; this.future = [];
  }

  /** The next state; one step for undo. @param {Partial<Drawn>} part */
  put(part) {
    this.past.push(this.now);
    this.future = [];
    this.now = { ...this.now, ...part };
    this.changed();
  }

  /** @param {Stroke[]} strokes */
  draw(strokes) { this.put({ strokes: [...this.now.strokes, ...strokes] }); }

  /** Letters put at a place, changed, or taken away where the text is empty. @param {number} index -1 for new ones @param {Letters} one */
  letter(index, one) {
    const was = this.now.letters[index];
    if (was ? JSON.stringify(was) === JSON.stringify(one) : !one.text) return;
    const letters = was ? this.now.letters.with(index, one) : [...this.now.letters, one];
    this.put({ letters: letters.filter((each) => each.text) });
  }

  clear() { if (this.now.strokes.length || this.now.letters.length) this.put({ strokes: [], letters: [] }); }

  undo() { const was = this.past.pop(); if (was) { this.future.push(this.now); this.now = was; this.changed(); } }
  redo() { const next = this.future.pop(); if (next) { this.past.push(this.now); this.now = next; this.changed(); } }

  /** What an eraser leaves that goes from a to b. @param {Drawn} state @param {boolean} whole strokes or the part crossed */
  static erased(state, a, b, r, whole) {
    let touched = false;
    const strokes = state.strokes.flatMap((stroke) => {
      const left = rubbed(stroke, a, b, r);
      if (left.length === 1 && left[0] === stroke) return left;
      touched = true;
      return whole ? [] : left;
    });
    const letters = state.letters.filter((one) => {
      const { x, y, w, h } = boxOf(one), mid = y + h / 2;
      return !taken([x, mid], [x + w, mid], a, b, r + h / 2);
    });
    return touched || letters.length < state.letters.length ? { strokes, letters } : state;
  }
}

/** A box around everything drawn, mm; nothing where nothing is. @param {Drawn} state */
export function around({ strokes, letters }) {
  const boxes = letters.map(boxOf);
  const xs = [...strokes.flatMap((one) => one.map((p) => p[0])), ...boxes.flatMap((b) => [b.x, b.x + b.w])];
  const ys = [...strokes.flatMap((one) => one.map((p) => p[1])), ...boxes.flatMap((b) => [b.y, b.y + b.h])];
  if (!xs.length) return null;
  const [x, y] = [xs.reduce((a, b) => Math.min(a, b)), ys.reduce((a, b) => Math.min(a, b))];
  return { x, y, w: xs.reduce((a, b) => Math.max(a, b)) - x, h: ys.reduce((a, b) => Math.max(a, b)) - y };
}
