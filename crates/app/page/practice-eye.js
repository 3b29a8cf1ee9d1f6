// Paper that is looked at from near and far: what part of it is seen, and a picture of the program's on it that is moved by mouse,
// fingers and keys.
// @ts-check

/** What is seen of paper: the place in the middle, mm, and pixels a mm. */
export class Eye {
  /** @param {() => void} place shows what is seen now */
  constructor(place) {
    this.place = place;
    this.x = 0; this.y = 0; this.k = 1;
    this.box = { w: 0, h: 0 };
    /** All there is to see, mm. */ this.all = { x: 0, y: 0, w: 1, h: 1 };
    this.whole = true;
  }

  least() { return Math.max(0.01, Math.min((this.box.w - 16) / this.all.w, (this.box.h - 16) / this.all.h)); }
  fit() { this.look(this.all, this.least()); this.whole = true; }
  /** Looks at the middle of a part, mm, from so near. */
  look(part, k) { Object.assign(this, { x: part.x + part.w / 2, y: part.y + part.h / 2, k, whole: false }); this.place(); }
  resize(w, h) { this.box = { w, h }; if (this.whole) this.fit(); else this.place(); }
  /** How it is looked at, to come back to. */
  get stand() { return { x: this.x, y: this.y, k: this.k, whole: this.whole }; }
  get viewBox() { return `${this.x - this.box.w / 2 / this.k} ${this.y - this.box.h / 2 / this.k} ${this.box.w / this.k} ${this.box.h / this.k}`; }
  /** From pixels in the box to mm of paper. @returns {[number, number]} */
  mm(px, py) { return [this.x + (px - this.box.w / 2) / this.k, this.y + (py - this.box.h / 2) / this.k]; }
  /** From mm of paper to pixels in the box. @param {readonly number[]} p @returns {[number, number]} */
  px(p) { return [(p[0] - this.x) * this.k + this.box.w / 2, (p[1] - this.y) * this.k + this.box.h / 2]; }

  zoom(by, px = this.box.w / 2, py = this.box.h / 2) {
    const k = Math.min(60, Math.max(this.least() / 2, this.k * by));
    // The place under the pointer stays under it.
    this.x += (px - this.box.w / 2) * (1 / this.k - 1 / k);
    this.y += (py - this.box.h / 2) * (1 / this.k - 1 / k);
    this.k = k; this.whole = false;
    this.keep();
  }
  pan(dx, dy) { this.x -= dx / this.k; this.y -= dy / this.k; this.whole = false; this.keep(); }
  /** Some of the paper always stays in sight. */
  keep() {
    const { x, y, w, h } = this.all;
    this.x = Math.min(x + w, Math.max(x, this.x)); this.y = Math.min(y + h, Math.max(y, this.y));
    this.place();
  }
  /** Moves so that a place lies in sight, `margin` pixels from the edge; `top` pixels at the top are covered. @param {readonly number[]} p */
  bring(p, margin = 40, top = 0) {
    const [x, y] = this.px(p), out = (at, size) => Math.min(0, at - Math.min(margin, size / 2)) + Math.max(0, at - Math.max(size - margin, size / 2));
    const [dx, dy] = [out(x, this.box.w), out(y - top, Math.max(1, this.box.h - top))];
    if (dx || dy) this.pan(-dx, -dy);
  }
  /** Two fingers: from where they were to where they are. */
  pinch(was, is) {
    const mid = (a, b) => [(a.x + b.x) / 2, (a.y + b.y) / 2], far = (a, b) => Math.hypot(a.x - b.x, a.y - b.y) || 1;
    const [wx, wy] = mid(...was), [ix, iy] = mid(...is);
    this.pan(ix - wx, iy - wy);
    this.zoom(far(...is) / far(...was), ix, iy);
  }
  /** @param {WheelEvent} event */
  wheel(event, px, py) {
    event.preventDefault();
    const by = event.deltaY * (event.deltaMode ? 16 : 1);
    this.zoom(Math.exp(-by * (event.ctrlKey ? 0.01 : 0.0016)), px, py);
  }
  /** What a key does to the view; whether it does anything. */
  key(name) {
    const does = { '+': () => this.zoom(1.25), '=': () => this.zoom(1.25), '-': () => this.zoom(0.8), 0: () => this.fit() }[name];
    does?.();
    return Boolean(does);
  }
}

// A picture lies in a tree of its own, where no style of the page reaches it.
const inside = new CSSStyleSheet();
inside.replaceSync(`svg { position: absolute; inset: 0; width: 100%; height: 100%; font-family: "Plex Condensed", "Arial Narrow", sans-serif;
  font-kerning: none; font-variant-ligatures: none; line-height: normal; }`);

/** A picture from the program that is looked at from near and far. */
export class Viewer {
  /**
   * @param {HTMLElement} el filled by it
   * @param {{label: string, views: Map<string, any>, arrows?: boolean}} what `views`: how pictures were looked at when they were put away, by
   * their label; `arrows`: whether arrow keys move the paper
   */
  constructor(el, { label, views, arrows = true }) {
    this.el = el;
    this.views = views;
    this.text = '';
    /** @type {any} */ this.svg = null;
    this.eye = new Eye(() => this.svg?.setAttribute('viewBox', this.eye.viewBox));
    el.className = 'paper viewer';
    el.tabIndex = 0;
    el.setAttribute('role', 'group');
    el.setAttribute('aria-label', `${label}. Plus and minus look from nearer and farther, 0 shows the whole${arrows ? ', arrows move the paper' : ''}.`);
    this.host = document.createElement('div');
    this.host.className = 'host';
    this.label = label;
    const scale = document.createElement('div');
    scale.className = 'scale';
    for (const [words, name, does] of /** @type {const} */ ([['+', '+ nearer', () => this.eye.zoom(1.25)], ['\u2212', '\u2212 farther', () => this.eye.zoom(0.8)], ['Whole', 'Whole', () => this.eye.fit()]])) {
      const button = document.createElement('button');
      button.textContent = words;
      button.setAttribute('aria-label', name);
      button.addEventListener('click', does);
      scale.append(button);
    }
    el.replaceChildren(this.host, scale);
    const root = this.host.attachShadow({ mode: 'open' });
    root.adoptedStyleSheets = [inside];
    this.size = new ResizeObserver(([{ contentRect: { width, height } }]) => this.eye.resize(width, height));
    this.size.observe(el);
    /** @type {Map<number, {x: number, y: number}>} */
    const hands = new Map();
    const at = (event) => { const r = el.getBoundingClientRect(); return { x: event.clientX - r.left, y: event.clientY - r.top }; };
    el.addEventListener('pointerdown', (event) => {
      if (event.button > 0 || /** @type {Element} */ (event.target).closest('button')) return;
      hands.set(event.pointerId, at(event));
      el.setPointerCapture(event.pointerId);
    });
    el.addEventListener('pointermove', (event) => {
      const was = hands.get(event.pointerId), is = at(event);
      if (!was) return;
      const other = [...hands].find(([id]) => id !== event.pointerId)?.[1];
      if (other) this.eye.pinch([was, other], [is, other]); else this.eye.pan(is.x - was.x, is.y - was.y);
      hands.set(event.pointerId, is);
    });
    for (const end of ['pointerup', 'pointercancel']) el.addEventListener(end, (event) => hands.delete(/** @type {PointerEvent} */ (event).pointerId));
    el.addEventListener('wheel', (event) => { const { x, y } = at(event); this.eye.wheel(event, x, y); }, { passive: false });
    el.addEventListener('keydown', (event) => {
      if (event.target !== el || event.ctrlKey || event.metaKey || event.altKey) return;
      const by = arrows && { ArrowLeft: [60, 0], ArrowRight: [-60, 0], ArrowUp: [0, 60], ArrowDown: [0, -60] }[event.key];
      if (by) this.eye.pan(by[0], by[1]);
      if (by || this.eye.key(event.key)) event.preventDefault();
    });
  }

  /** Shows a picture, as large as the one before where they are equally large. @param {string} text @param {string} words for those who do not see it */
  show(text, words) {
    this.host.setAttribute('role', 'img');
    this.host.setAttribute('aria-label', words);
    if (text === this.text) return;
    this.text = text;
    // What its own style says stands in `inside`; markup that says it would be refused by the content policy.
    const svg = /** @type {any} */ (document.adoptNode(new DOMParser().parseFromString(text.replace(/(<svg[^>]*) style="[^"]*"/, '$1'), 'image/svg+xml').documentElement));
    const [x, y, w, h] = (svg.getAttribute('viewBox') ?? '').split(/[\s,]+/).map(Number);
    const all = h > 0 ? { x, y, w, h } : { x: 0, y: 0, w: parseFloat(svg.getAttribute('width')) || 100, h: parseFloat(svg.getAttribute('height')) || 100 };
    for (const name of ['width', 'height', 'role', 'aria-labelledby']) svg.removeAttribute(name);
    this.svg = svg;
    this.host.shadowRoot?.replaceChildren(svg);
    const same = ['x', 'y', 'w', 'h'].every((name) => this.eye.all[name] === all[name]);
    this.eye.all = all;
    const was = this.views.get(this.label);
    this.views.delete(this.label);
    if (was && !was.whole) { Object.assign(this.eye, was); this.eye.place(); } else if (same && !this.eye.whole) this.eye.place(); else this.eye.fit();
  }

  close() { this.size.disconnect(); if (this.svg) this.views.set(this.label, this.eye.stand); }
}
