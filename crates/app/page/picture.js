// The program's drawing as elements of the page: a new one changes only what has changed, and what lies where is found from the
// coordinates, since a pipe is a line thinner than a finger.
// @ts-check

/** @typedef {{pipe: string, line: number, a: number, b: number, c: number, d: number}} Line a piece of a pipe, from a, b to c, d */
/** @typedef {{x: number, y: number, w: number, h: number, of: string, pipe?: string, node?: string, fixture?: string, words: string, el: Element}} Label */

const XMLNS = 'http://www.w3.org/2000/svg';
/** Where more than this share is new, all of it is read anew. */
const MOST = 0.6;
const read = (text) => new DOMParser().parseFromString(text, 'image/svg+xml').documentElement;

/**
 * The drawing's text by the things in its one view: a group with all that is in it, or a single mark. The program writes one tag a
 * line. Nothing where the text is built otherwise.
 * @param {string} text @returns {{head: string, items: string[]}|null}
 */
function parted(text) {
  const lines = text.trimEnd().split('\n');
  if (!lines[1]?.startsWith('<g class="view') || lines.at(-1) !== '</svg>' || lines.at(-2) !== '</g>') return null;
  const items = [];
  let depth = 0, begun = 0;
  for (let i = 2; i < lines.length - 2; i += 1) {
    const line = lines[i];
    if (line.startsWith('<g')) { if (depth === 0) begun = i; depth += 1; }
    else if (line === '</g>') { depth -= 1; if (depth === 0) items.push(lines.slice(begun, i + 1).join('\n')); }
    else if (depth === 0) items.push(line);
  }
  return depth === 0 ? { head: lines[1], items } : null;
}

export class Picture {
  constructor() {
    /** @type {any} */ this.svg = null;
    /** @type {any} */ this.view = null;
    /** What stands there, by its text. @type {Map<string, Element[]>|null} */
    this.kept = null;
    /** @type {{lines: Line[], labels: Label[], groups: Map<string, Element[]>}|null} */
    this.places = null;
    /** What was measured of an element. @type {WeakMap<Element, any>} */
    this.measured = new WeakMap();
  }

  /**
   * Shows a drawing. Whether the element itself is a new one, to be put on the page.
   * @param {string} text
   */
  take(text) {
    this.places = null;
    const parts = parted(text);
    if (parts && this.kept && this.mend(parts)) return false;
    this.svg = document.adoptNode(read(text));
    this.view = this.svg.querySelector('g.view');
    this.kept = null;
    const all = [...(this.view?.children ?? [])];
    if (parts && all.length === parts.items.length) this.keep(parts.items, all);
    return true;
  }

  /** @param {string[]} items @param {Element[]} elements */
  keep(items, elements) {
    this.kept = new Map();
    items.forEach((item, i) => {
      const same = this.kept?.get(item);
      if (same) same.push(elements[i]); else this.kept?.set(item, [elements[i]]);
    });
  }

  /** Puts in what is new and takes out what is gone. @param {{head: string, items: string[]}} parts */
  mend({ head, items }) {
    const elements = items.map((item) => this.kept?.get(item)?.shift());
    const fresh = items.filter((_, i) => !elements[i]);
    const made = fresh.length > MOST * items.length ? [] : [...read(`<svg xmlns="${XMLNS}">${fresh.join('\n')}</svg>`).children];
    if (made.length !== fresh.length) return false;
    for (const gone of this.kept?.values() ?? []) for (const one of gone) one.remove();
    let next = 0, at = this.view.firstElementChild;
    for (const [i, one] of elements.entries()) {
      const wanted = one ?? document.adoptNode(made[next++]);
      elements[i] = wanted;
      if (wanted === at) at = at.nextElementSibling; else this.view.insertBefore(wanted, at);
    }
    for (const [, name, value] of head.matchAll(/ (data-[a-z]+)="([^"]*)"/g)) this.view.setAttribute(name, value);
    this.keep(items, /** @type {Element[]} */ (elements));
    return true;
  }

  /** Where lines and labels lie, and the groups of each pipe; measured when first asked. */
  found() {
    if (this.places) return this.places;
    /** @type {Line[]} */ const lines = [];
    /** @type {Label[]} */ const labels = [];
    /** @type {Map<string, Element[]>} */ const groups = new Map();
    for (const one of this.view?.children ?? []) {
      if (one.classList.contains('label')) labels.push(this.measure(one, label));
      else if (one.classList.contains('pipe')) {
        lines.push(...this.measure(one, pieces));
        const same = groups.get(one.dataset.pipe);
        if (same) same.push(one); else groups.set(one.dataset.pipe, [one]);
      }
    }
    this.places = { lines, labels, groups };
    return this.places;
  }

  /** What was measured of an element, or is now. */
  measure(one, how) {
    const known = this.measured.get(one) ?? how(one);
    this.measured.set(one, known);
    return known;
  }

  /** The label in whose box a place lies, grown by `more` mm. @returns {Label|undefined} */
  labelAt(x, y, more) {
    return this.found().labels.find((l) => x > l.x - more && x < l.x + l.w + more && y > l.y - more && y < l.y + l.h + more);
  }

  /** The pipe whose line is nearest and not farther than `reach` mm. */
  pipeAt(x, y, reach) {
    /** @type {Line|null} */ let best = null;
    let least = reach;
    for (const one of this.found().lines) {
      const [dx, dy] = [one.c - one.a, one.d - one.b], long = dx * dx + dy * dy;
      const s = long ? Math.min(1, Math.max(0, ((x - one.a) * dx + (y - one.b) * dy) / long)) : 0;
      const far = Math.hypot(x - one.a - s * dx, y - one.b - s * dy);
      if (far < least) { least = far; best = one; }
    }
    return best;
  }
}

/** A soft light behind a pipe's lines. @param {Element} group @param {string} kind */
export function halo(group, kind) {
  const path = document.createElementNS(XMLNS, 'path');
  path.setAttribute('class', kind);
  path.setAttribute('d', [...group.querySelectorAll('path.line')].map((one) => one.getAttribute('d')).join(''));
  group.prepend(path);
}

/** @returns {Line[]} */
function pieces(group) {
  const { pipe, line } = group.dataset, all = [];
  for (const path of group.querySelectorAll('path.line')) {
    const n = (path.getAttribute('d') ?? '').split(/[ML\s]+/).filter(Boolean).map(Number);
    for (let i = 0; i + 3 < n.length; i += 2) all.push({ pipe, line: Number(line), a: n[i], b: n[i + 1], c: n[i + 2], d: n[i + 3] });
  }
  return all;
}

/** @returns {Label} */
function label(text) {
  const size = Number(text.getAttribute('font-size')), at = (key) => Number(text.getAttribute(key));
  return { ...text.dataset, x: at('x'), y: at('y') - size * 0.75, w: at('textLength'), h: size * 0.9, words: text.textContent ?? '', el: text };
}
