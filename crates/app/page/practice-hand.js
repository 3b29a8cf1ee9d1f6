// What the hand does on the isometric paper: the tool it holds, the line it is in the middle of. The same calls come from mouse, pen,
// finger and the keys; points are [x, y] in mm of paper.
// @ts-check
import { dashed, far, Grid, Ink, lettersAt, WAYS } from './practice-ink.js';

/** @typedef {import('./practice-ink.js').Point} Point */

/** Dashes and the gaps between them, in squares: those of the key. */
const DASH = 0.5, GAP = 0.25;
/** Points of a free line stand at least so far apart, mm. Our own choice. */
const GRAIN = 0.4;
/** A tap moves less than this share of a square. Our own choice. */
const TAP = 0.6;
/** In free hand a key goes this share of a square: small enough for an arrow's head. Our own choice. */
const STEP = 0.25;
const COS_30 = Math.cos(Math.PI / 6);

export class Hand {
  /**
   * @param {Ink} ink @param {number} pitch mm
   * @param {{changed: () => void, ask: (at: Point, index: number) => void}} says `ask`: letters are wanted at a place, for new ones or in place of others
   */
  constructor(ink, pitch, says) {
    this.ink = ink; this.pitch = pitch; this.says = says;
    /** @type {'pencil'|'letters'|'eraser'} */ this.tool = 'pencil';
    /** Without snapping. */ this.free = false;
    /** It keeps to halves of squares too. */ this.halves = false;
    /** The pencil lifts itself by turns. */ this.dashes = false;
    /** The eraser takes whole strokes. */ this.whole = true;
    /** Height of letters, mm: 1/8 in. */ this.height = 3.2;
    /** Where the pencil went down for a straight line. @type {Point|null} */ this.from = null;
    /** Where it is. @type {Point|null} */ this.at = null;
    /** A line in free hand. @type {Point[]|null} */ this.path = null;
    /** Where it was pressed; for taps. @type {Point|null} */ this.pressed = null;
    this.pulled = false;
    /** What an eraser in use has left. @type {any} */ this.left = null;
    /** How far from its middle the eraser takes, mm. */ this.edge = 0;
    /** Letters that are carried. @type {{index: number, from: Point, to: Point}|null} */ this.carried = null;
    /** The cursor of the keys. @type {Point|null} */ this.cursor = null;
    /** Why nothing came of it, in words. */ this.note = '';
  }

  /** The points it keeps to. */
  get grid() { return new Grid(this.pitch * this.part); }
  /** The distance of these points, in squares. */
  get part() { return this.halves ? 0.5 : 1; }

  take(tool) { this.leave(); this.tool = tool; this.says.changed(); }

  /** Whether the pencil or the eraser is down without being pressed. */
  get lowered() { return this.from !== null || this.path !== null || this.left !== null; }

  /** What is to be shown: what is kept, or what an eraser in use has left of it. */
  get shown() { return this.left ?? this.ink.now; }

  /** Lets go of what is half done. */
  leave() {
    this.from = null; this.at = null; this.path = null; this.pressed = null; this.left = null; this.carried = null; this.pulled = false; this.note = '';
    this.says.changed();
  }

  /** @param {Point} p @param {number} reach mm within which something is meant */
  down(p, reach) {
    this.note = '';
    if (this.tool === 'eraser') { this.left = this.ink.now; this.rub(p, p, reach); }
    else if (this.tool === 'letters') {
      const index = lettersAt(this.ink.now.letters, p, reach / 2);
      this.carried = { index, from: p, to: p };
    } else if (this.free) this.path = [p];
    else {
      this.pressed = this.grid.nearest(p);
      this.pulled = false;
      this.at = this.from ? this.grid.snap(this.from, p).at : this.pressed;
    }
    this.at ??= p;
    this.says.changed();
  }

  /** @param {Point} p @param {number} reach */
  move(p, reach) {
    if (this.left) this.rub(this.at ?? p, p, reach);
    else if (this.carried) this.carried.to = p;
    else if (this.path) this.trace(p);
    else if (this.tool === 'pencil' && !this.free) {
      if (this.pressed && far(p, this.pressed) > TAP * this.pitch * this.part) { this.pulled = true; this.from = this.pressed; }
      this.at = this.from ? this.grid.snap(this.from, p).at : this.grid.nearest(p);
      this.says.changed();
      return;
    }
    this.at = p;
    this.says.changed();
  }

  /** @param {Point} p @param {number} reach */
  up(p, reach) {
    this.move(p, reach);
    if (this.left) this.rubbedOut();
    else if (this.carried) this.putDown(reach);
    else if (this.path) this.traced();
    else if (this.pressed) {
      const pressed = this.pressed;
      this.pressed = null;
      if (this.from && this.at) {
        // A second tap ends the line that the first one began; a pull is a line of its own.
        if (this.pulled || far(this.from, this.at) > 0) this.line(this.from, this.at); else this.lift();
      } else { this.from = pressed; this.says.changed(); }
      this.pulled = false;
    }
  }

  lift() { this.from = null; this.says.changed(); }

  /** @param {Point} from @param {Point} to */
  line(from, to) {
    this.from = null;
    if (far(from, to) === 0) { this.note = `Shorter than ${this.halves ? 'half a square' : 'a square'}: draw arrows, hooks and other small marks free hand.`; this.says.changed(); return; }
    this.draw([from, to]);
  }

  /** @param {Point[]} stroke */
  draw(stroke) { this.ink.draw(this.dashes ? dashed(stroke, DASH * this.pitch, GAP * this.pitch) : [stroke]); }

  trace(p) { if (this.path && far(/** @type {Point} */ (this.path.at(-1)), p) >= GRAIN) this.path.push([Math.round(p[0] * 1000) / 1000, Math.round(p[1] * 1000) / 1000]); }

  traced() {
    const path = /** @type {Point[]} */ (this.path);
    this.path = null;
    if (path.length > 1) this.draw(path); else this.says.changed();
  }

  /** Whole strokes are touched; a part is rubbed out with a smaller edge. */
  rub(a, b, reach) {
    this.edge = this.whole ? reach : reach / 2;
    this.left = Ink.erased(this.left, a, b, this.edge, this.whole);
  }

  rubbedOut() {
    const left = this.left;
    this.left = null;
    if (left !== this.ink.now) this.ink.put(left); else { this.note = 'Nothing lies there.'; this.says.changed(); }
  }

  putDown(reach) {
    const { index, from, to } = /** @type {{index: number, from: Point, to: Point}} */ (this.carried);
    this.carried = null;
    const one = this.ink.now.letters[index];
    if (one && far(from, to) > reach / 2) this.ink.letter(index, { ...one, at: [one.at[0] + to[0] - from[0], one.at[1] + to[1] - from[1]] });
    else this.says.ask(one ? one.at : from, index);
    this.says.changed();
  }

  // ---------------------------------------------------------------- by the keys
  /** The cursor goes along a way. @param {number} way @param {number} squares @param {Point} start where it begins @param {number} reach mm */
  walk(way, squares, start, reach) {
    const free = this.tool === 'pencil' && this.free, was = this.cursor;
    if (!was) this.cursor = this.grid.nearest(start);
    else if (free) {
      const [right, down] = WAYS[way].by, by = squares * STEP * this.pitch;
      this.cursor = [was[0] + right * COS_30 * by, was[1] + (down / 2) * by];
    } else this.cursor = this.grid.step(this.grid.nearest(was), way, squares / (squares > 1 ? this.part : 1));
    const p = /** @type {Point} */ (this.cursor);
    this.note = '';
    if (this.left) this.rub(was ?? p, p, reach);
    else if (this.path) this.trace(p);
    this.at = p;
    this.says.changed();
  }

  /** The pencil or eraser goes down at the cursor, or up; letters are asked for. @param {Point} start @param {number} reach */
  press(start, reach) {
    const p = this.cursor ?? this.grid.nearest(start);
    this.cursor = p;
    this.at = p;
    this.note = '';
    if (this.tool === 'letters') this.says.ask(p, lettersAt(this.ink.now.letters, p, reach / 2));
    else if (this.tool === 'eraser') { if (this.left) this.rubbedOut(); else { this.left = this.ink.now; this.rub(p, p, reach); } }
    else if (this.free) { if (this.path) this.traced(); else this.path = [p]; }
    else if (this.from) this.line(this.from, this.grid.nearest(p));
    else this.from = this.grid.nearest(p);
    this.says.changed();
  }

  // ---------------------------------------------------------------- in words
  /** Along which way the line in hand goes. */
  get going() { return this.from && this.at && !this.free ? this.grid.between(this.from, this.at) : null; }

  words() {
    if (this.note) return this.note;
    const going = this.going;
    if (going?.squares) {
      const squares = going.squares * this.part;
      const many = [Math.floor(squares) || '', squares % 1 ? '1/2' : ''].filter(Boolean).join(' ');
      return `${many} ${squares <= 1 ? 'square' : 'squares'} ${WAYS[going.way].words}`;
    }
    if (going && this.from && this.at && far(this.from, this.at) > 0) return 'not along an axis: between grid points';
    if (this.from) return 'The pencil is down: tap where the line ends, or the same place to lift it.';
    if (this.path) return 'drawing free hand';
    if (this.left) return this.whole ? 'rubbing out whole strokes' : 'rubbing out what is crossed';
    if (this.tool === 'letters') return 'Tap a place for new letters, or letters to change or pull them.';
    if (this.tool === 'eraser') return this.whole ? 'Each stroke or word that you touch goes.' : 'What you cross goes, no more.';
    return this.free ? 'Draw where you like: arrows, hooks, anything small.' : 'Draw a line, or tap its two ends. It keeps to the axes or to grid points.';
  }
}
