// The isometric paper on the screen: grid, ink, the mark at the pointer, the numbers of faults; presses of mouse, pen and fingers and
// the keys on it.
// @ts-check
import { Eye } from './practice-eye.js';
import { around, WAYS } from './practice-ink.js';

/** @typedef {import('./practice-ink.js').Point} Point */

const XMLNS = 'http://www.w3.org/2000/svg';
const COS_30 = Math.cos(Math.PI / 6);
/** What is meant lies so near to a pointer or a finger, pixels. */
const REACH = 9, FINGER = 16;
/** The mark at the pointer is seen round a finger too, pixels. */
const MARK = 9, ROUND = 26;
/** So long after a pen was near, a hand that touches is a palm, ms. */
const PALM = 1200;
/** A finger draws on squares no smaller than this, pixels, when the paper is first seen. */
const SQUARE = 17;
/** More lines than this are not drawn: a paper that large is seen as a whole. */
const MOST = 6000;
/** Capitals are so high, of the letters' size (IBM Plex Sans Condensed). */
const CAPITAL = 0.698;
/** Keys that go along the axes: the way for each, with Shift in the second place. The corner keys lie as on a number pad. */
const KEYS = { ArrowUp: [0, 0], ArrowDown: [3, 3], ArrowRight: [1, 2], ArrowLeft: [4, 5], PageUp: [1, 1], PageDown: [2, 2], End: [4, 4], Home: [5, 5] };
/** Where a fault's number may stand beside its place, pixels. */
const BESIDE = [[22, -22], [-22, -22], [22, 22], [-22, 22], [0, -32], [32, 0], [0, 32], [-32, 0], [48, -22], [-48, -22], [48, 22], [-48, 22]];

const make = (name, attributes = {}) => {
  const one = document.createElementNS(XMLNS, name);
  for (const [key, value] of Object.entries(attributes)) one.setAttribute(key, String(value));
  return one;
};
const path = (points) => `M${points.map((p) => `${p[0]} ${p[1]}`).join('L')}${points.length === 1 ? 'h0' : ''}`;

export class Paper {
  /** @param {HTMLElement} el @param {import('./practice-book.js').Book} book @param {{moved: () => void, chosen: (fault: number) => void}} says */
  constructor(el, book, says) {
    this.el = el; this.book = book; this.says = says;
    this.eye = new Eye(() => this.place());
    /** One finger or the mouse moves the paper instead of drawing. */ this.moving = false;
    const svg = make('svg', { class: 'drawing', 'aria-hidden': 'true' });
    this.layers = Object.fromEntries(['sheet', 'grid', 'ink', 'letters', 'numbers', 'live'].map((name) => [name, make(name === 'sheet' ? 'rect' : name === 'grid' ? 'path' : 'g', { class: name })]));
    svg.append(...Object.values(this.layers));
    el.prepend(svg);
    this.svg = svg;
    this.exercise = null;
    /** What is shown is not what is kept: letters are carried, or rubbed out as one looks. */ this.unkept = false;
    /** @type {Map<number, {x: number, y: number, kind: string}>} */ this.hands = new Map();
    /** The pointer that draws; -1 for none. */ this.drawing = -1;
    /** Two fingers have been on the paper: no finger draws until all are away. */ this.pinched = false;
    this.penAt = -Infinity;
    for (const [name, does] of Object.entries({ pointerdown: this.down, pointermove: this.move, pointerup: this.up, pointercancel: this.up, pointerleave: this.out, keydown: this.key })) {
      el.addEventListener(name, /** @type {EventListener} */ (does.bind(this)));
    }
    el.addEventListener('wheel', (event) => { if (!this.beside(event)) this.eye.wheel(event, ...this.at(event)); }, { passive: false });
    el.addEventListener('contextmenu', (event) => { if (!this.beside(event)) event.preventDefault(); });
    this.size = new ResizeObserver(([{ contentRect: { width, height } }]) => { const first = !this.eye.box.w; this.eye.resize(width, height); if (first) this.begin(); });
    this.size.observe(el);
  }

  close() { this.size.disconnect(); this.book.views.set('draw', this.eye.stand); this.hand?.leave(); }
  get hand() { return this.book.hand; }

  // ---------------------------------------------------------------- what is seen
  /** All there is: the paper, and what was drawn beyond it. */
  spread() {
    const { width, height, pitch } = this.book.state.exercise, drawn = around(this.hand?.shown ?? this.book.ink.now);
    if (!drawn) return { x: 0, y: 0, w: width, h: height };
    const x = Math.min(0, drawn.x - pitch), y = Math.min(0, drawn.y - pitch);
    return { x, y, w: Math.max(width, drawn.x + drawn.w + pitch) - x, h: Math.max(height, drawn.y + drawn.h + pitch) - y };
  }

  /** The first look: the drawing, or as much of the paper as can be drawn on at this width. */
  begin() {
    this.draw();
    const was = this.book.views.get('draw');
    if (was) { Object.assign(this.eye, was); if (was.whole) this.eye.fit(); else this.eye.place(); return; }
    const { eye } = this, { pitch } = this.book.state.exercise, drawn = around(this.book.ink.now);
    const least = eye.least(), near = Math.max(least, SQUARE / pitch);
    if (drawn) {
      const k = Math.min((eye.box.w - 60) / (drawn.w || 1), (eye.box.h - 60) / (drawn.h || 1), near);
      if (k > least) eye.look(drawn, k); else eye.fit();
    } else if (least * pitch < SQUARE * 0.7) eye.look(eye.all, near);
    else eye.fit();
  }

  /** A new exercise, or new ink. */
  draw() {
    const { exercise } = this.book.state;
    const all = this.spread(), was = this.eye.all;
    if (exercise !== this.exercise || ['x', 'y', 'w', 'h'].some((name) => was[name] !== all[name])) {
      this.eye.all = all;
      for (const [name, value] of [['x', all.x], ['y', all.y], ['width', all.w], ['height', all.h]]) this.layers.sheet.setAttribute(String(name), String(value));
      this.layers.grid.setAttribute('d', grid(all, exercise.pitch));
      if (this.exercise && exercise !== this.exercise) { this.exercise = exercise; if (this.eye.box.w) this.begin(); }
      this.exercise = exercise;
    }
    const { strokes, letters } = this.hand?.shown ?? this.book.ink.now;
    this.layers.ink.replaceChildren(...strokes.map((stroke) => make('path', { d: path(stroke) })));
    const carried = this.hand?.carried;
    this.layers.letters.replaceChildren(...letters.map((one, i) => {
      const by = carried?.index === i ? [carried.to[0] - carried.from[0], carried.to[1] - carried.from[1]] : [0, 0];
      const text = make('text', { x: one.at[0] + by[0], y: one.at[1] + by[1] + one.height / 2, 'font-size': one.height / CAPITAL });
      text.textContent = one.text;
      return text;
    }));
    this.live();
    this.numbers();
  }

  /** The hand has moved: only what it changes is drawn anew. */
  follow() {
    const unkept = Boolean(this.hand?.left || this.hand?.carried);
    if (unkept || this.unkept) this.draw(); else this.live();
    this.unkept = unkept;
  }

  place() {
    if (!this.eye.box.w) return;
    this.svg.setAttribute('viewBox', this.eye.viewBox);
    // A pencil's line, and never thinner than can be seen.
    this.layers.ink.setAttribute('stroke-width', String(Math.max(0.5, 1.6 / this.eye.k)));
    this.live();
    this.numbers();
    this.says.moved();
  }

  /** The line in hand, the mark at the pointer, the cursor of the keys; equally large from near and far. */
  live() {
    const { hand, eye } = this, all = [], px = 1 / eye.k;
    if (hand) {
      const { at, from, path: free, going, tool, cursor } = hand;
      if (free && free.length > 1) all.push(make('path', { class: 'line', d: path(free), 'stroke-width': Math.max(0.5, 1.6 * px) }));
      if (from && at && !free) {
        if (going && going.way >= 0) {
          // The axis itself, farther than the line: the eye sees which one it is.
          const [right, down] = WAYS[going.way].by, far = 2 * hand.pitch;
          const u = [right * COS_30 * far, (down / 2) * far];
          all.push(make('path', { class: 'axis', d: path([[from[0] - u[0], from[1] - u[1]], [at[0] + u[0], at[1] + u[1]]]) }));
        }
        all.push(make('path', { class: 'line', d: path([from, at]), 'stroke-width': Math.max(0.5, 1.6 * px) }));
        all.push(make('circle', { class: 'end', cx: from[0], cy: from[1], r: 4 * px }));
      }
      const snaps = tool === 'pencil' && !hand.free;
      if (at && (snaps || hand.lowered)) {
        const [x, y] = at, r = (this.hands.get(this.drawing)?.kind === 'touch' ? ROUND : MARK) * px;
        if (tool === 'eraser') all.push(make('circle', { class: 'mark', cx: x, cy: y, r: hand.edge }));
        // A ring on an axis or to begin with, a lozenge between grid points.
        else if (!snaps) all.push(make('circle', { class: 'end', cx: x, cy: y, r: 3 * px }));
        else if (from && going?.way === -1 && (at[0] !== from[0] || at[1] !== from[1])) all.push(make('path', { class: 'mark', d: `M${x - r} ${y}L${x} ${y - r}L${x + r} ${y}L${x} ${y + r}Z` }));
        else all.push(make('circle', { class: 'mark', cx: x, cy: y, r }));
      }
      if (cursor) {
        const [x, y] = cursor, [a, b] = [5 * px, 16 * px];
        all.push(make('path', { class: 'cursor', d: `M${x - b} ${y}H${x - a}M${x + a} ${y}H${x + b}M${x} ${y - b}V${y - a}M${x} ${y + a}V${y + b}` }));
      }
    }
    this.layers.live.replaceChildren(...all);
  }

  /** Faults at their places, numbered as in the list; the chosen one ringed. */
  numbers() {
    const { marks, fault } = this.book.state, px = 1 / this.eye.k, all = [], faults = marks?.faults ?? [];
    /** Where no number may stand: on the places of faults, and on other numbers; and how near to them, pixels. */
    const taken = faults.flatMap((one, i) => (one.at ? [[...one.at, i === fault ? 29 : 15]] : []));
    for (const [i, one] of faults.entries()) {
      if (!one.at) continue;
      const [x, y] = one.at, lit = i === fault;
      const clear = BESIDE.find(([dx, dy]) => taken.every(([u, v, r]) => Math.hypot(u - x - dx * px, v - y - dy * px) > r * px)) ?? BESIDE[0];
      const [nx, ny] = [x + clear[0] * px, y + clear[1] * px];
      taken.push([nx, ny, 25]);
      const g = make('g', { class: lit ? 'fault lit' : 'fault', 'data-fault': i + 1 });
      if (lit) g.append(make('circle', { class: 'glow', cx: x, cy: y, r: 17 * px }), make('circle', { class: 'ring', cx: x, cy: y, r: 17 * px }));
      const number = make('text', { x: nx, y: ny + 4.6 * px, 'font-size': 13 * px });
      number.textContent = String(i + 1);
      g.append(make('path', { class: 'stem', d: path([[x, y], [nx, ny]]) }), make('circle', { class: 'spot', cx: x, cy: y, r: 2.5 * px }), make('circle', { class: 'disc', cx: nx, cy: ny, r: 11 * px }), number);
      if (lit) all.push(g); else all.unshift(g);
    }
    this.layers.numbers.replaceChildren(...all);
  }

  // ---------------------------------------------------------------- presses
  at(event) { const r = this.el.getBoundingClientRect(); return /** @type {[number, number]} */ ([event.clientX - r.left, event.clientY - r.top]); }
  /** Whether it is meant for what lies on the paper's edge: buttons, the field for letters. */
  beside(event) { return Boolean(event.target.closest('.there, .scale, .telling')); }
  reach(kind) { return (kind === 'touch' ? FINGER : REACH) / this.eye.k; }
  /** A hand beside the pen. */
  palm(event) {
    if (event.pointerType === 'pen') {
      this.penAt = event.timeStamp;
      // What the palm began before the pen came near is no line.
      if (this.hands.get(this.drawing)?.kind === 'touch') { this.drawing = -1; this.hand?.leave(); }
      for (const [id, { kind }] of this.hands) if (kind === 'touch') this.hands.delete(id);
      return false;
    }
    return event.pointerType === 'touch' && event.timeStamp - this.penAt < PALM;
  }

  down(event) {
    if (this.beside(event) || this.palm(event) || event.button > 1 || !this.hand) return;
    event.preventDefault();
    this.el.focus({ preventScroll: true });
    const [x, y] = this.at(event), kind = event.pointerType;
    // The browser itself lets go of a pointer that it lost sight of.
    try { this.el.setPointerCapture(event.pointerId); } catch { /* gone already */ }
    this.hands.set(event.pointerId, { x, y, kind });
    this.hand.cursor = null;
    if (this.hands.size > 1) {
      if (this.drawing >= 0) { this.drawing = -1; this.hand.leave(); }
      this.pinched = true;
      return;
    }
    const number = event.target.closest?.('[data-fault]');
    if (this.moving || event.button === 1) return;
    if (number && !this.hand.lowered && event.target.closest('.disc, text')) { this.hands.delete(event.pointerId); this.says.chosen(Number(number.dataset.fault) - 1); return; }
    this.drawing = event.pointerId;
    this.hand.down(this.eye.mm(x, y), this.reach(kind));
  }

  move(event) {
    if (this.palm(event) || !this.hand) return;
    const was = this.hands.get(event.pointerId), [x, y] = this.at(event), kind = event.pointerType;
    if (!was) { if (kind !== 'touch' && !this.hands.size && !this.beside(event)) this.hover(x, y, kind); return; }
    if (event.pointerId === this.drawing) {
      const all = event.getCoalescedEvents?.() ?? [];
      for (const one of all.length ? all : [event]) this.hand.move(this.eye.mm(...this.at(one)), this.reach(kind));
    } else {
      const other = [...this.hands].find(([id]) => id !== event.pointerId)?.[1];
      if (other) this.eye.pinch([was, other], [{ x, y }, other]);
      else if (!this.pinched) this.eye.pan(x - was.x, y - was.y);
    }
    this.hands.set(event.pointerId, { x, y, kind });
  }

  /** Without being pressed it shows where the pencil would go down. */
  hover(x, y, kind) {
    if (!this.hand || this.hand.path || this.hand.left || this.hand.cursor) return;
    this.hand.move(this.eye.mm(x, y), this.reach(kind));
  }

  up(event) {
    const was = this.hands.get(event.pointerId);
    this.hands.delete(event.pointerId);
    if (!this.hands.size) this.pinched = false;
    if (!was || event.pointerId !== this.drawing || !this.hand) return;
    this.drawing = -1;
    if (event.type === 'pointercancel') this.hand.leave();
    else this.hand.up(this.eye.mm(...this.at(event)), this.reach(event.pointerType));
    // A finger that is lifted points at nothing any more.
    if (event.pointerType === 'touch' && !this.hand.lowered) { this.hand.at = null; this.live(); }
  }

  out() { if (this.hand && !this.hands.size && !this.hand.lowered && this.hand.at) { this.hand.at = null; this.live(); } }

  key(event) {
    const { hand, eye } = this;
    if (event.target !== this.el || event.ctrlKey && !KEYS[event.key] || event.metaKey || event.altKey || !hand) return;
    const { pitch } = this.book.state.exercise, middle = /** @type {Point} */ ([eye.x, eye.y]);
    const way = KEYS[event.key]?.[event.shiftKey ? 1 : 0];
    if (way !== undefined) {
      hand.walk(way, event.ctrlKey ? 5 : 1, middle, pitch / 3);
      eye.bring(/** @type {Point} */ (hand.cursor));
    } else if (event.key === 'Enter' || event.key === ' ') hand.press(middle, pitch / 3);
    else if (event.key === 'Escape') hand.leave();
    else if (!eye.key(event.key)) return;
    event.preventDefault();
    event.stopPropagation();
  }
}

/** Lines of the grid over a part of the paper: upright ones pitch x cos 30 apart, slanting ones at 30 and 150 degrees. */
function grid({ x, y, w, h }, pitch) {
  const across = pitch * COS_30, rise = Math.tan(Math.PI / 6), lines = [];
  if (w / across + (2 * h) / pitch > MOST) return '';
  for (let i = Math.ceil(x / across); i * across <= x + w; i++) lines.push([[i * across, y], [i * across, y + h]]);
  // A slanting line is told by where it meets x = 0; it is cut where it leaves the paper.
  for (const way of [1, -1]) {
    const [low, high] = [y - Math.max(way * rise * x, way * rise * (x + w)), y + h - Math.min(way * rise * x, way * rise * (x + w))];
    for (let j = Math.ceil(low / pitch); j * pitch <= high; j++) {
      const at = (s) => way * rise * s + j * pitch;
      const ends = [(y - j * pitch) / (way * rise), (y + h - j * pitch) / (way * rise)].sort((a, b) => a - b);
      const [from, to] = [Math.max(x, ends[0]), Math.min(x + w, ends[1])];
      if (to > from) lines.push([[from, at(from)], [to, at(to)]]);
    }
  }
  return lines.map((line) => path(line.map((p) => p.map((mm) => Math.round(mm * 1000) / 1000)))).join('');
}

