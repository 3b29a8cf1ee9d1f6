// The words of the job, with every mistake at its place. What is typed is kept at once; what is drawn changes only its lines.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { merged } from './merge.js';

export const name = 'words', title = 'Words', parts = ['text', 'mistakes'];

/** So many of the longest lines are measured for the widest. */
const LONGEST = 20;

export function mount(el, desk) {
  render(html`<div class="page"><div class="gutter" aria-hidden="true"></div><div class="layer"><pre class="marks" aria-hidden="true"><span class="widest"></span><span class="under"></span></pre>
    <textarea id="words" spellcheck="false" autocapitalize="off" autocomplete="off" aria-label="The words of the job" wrap="off"></textarea></div></div><ol class="mistakes" aria-label="Mistakes"></ol>`, el);
  const area = /** @type {HTMLTextAreaElement} */ (el.querySelector('textarea'));
  const marks = /** @type {HTMLElement} */ (el.querySelector('.marks'));
  const gutter = /** @type {HTMLElement} */ (el.querySelector('.gutter'));
  const under = /** @type {HTMLElement} */ (marks.querySelector('.under'));
  const widest = /** @type {HTMLElement} */ (marks.querySelector('.widest'));
  const page = /** @type {HTMLElement} */ (el.querySelector('.page'));
  const list = /** @type {HTMLElement} */ (el.querySelector('ol'));
  area.readOnly = desk.state.readOnly;
  /** Typed and not yet answered. */
  let ahead = false, sending = false;
  /** The version that the words in the area were made from. */
  let base = desk.state.version;

  async function send() {
    if (sending) { ahead = true; return; }
    sending = true;
    do {
      ahead = false;
      const sent = area.value;
      const seen = await desk.change({ text: sent, base });
      if (seen.conflict) ask(seen.conflict);
      else if (!seen.wrong) take(sent, seen);
    } while (ahead && !desk.state.conflict);
    sending = false;
    if (!desk.state.wrong && !desk.state.conflict) put();
  }

  /** What others changed meanwhile comes in beside what has been typed since. */
  function take(sent, { text, version }) {
    const both = merged(sent, area.value, text);
    if (both === null) ask({ base: sent, theirs: text, version });
    else { lay(both); base = version; }
  }

  /** The same lines were changed elsewhere: the user says which to keep. */
  function ask(clash) { desk.set({ conflict: { ...clash, ours: area.value } }); }

  function put() { lay(desk.state.text); base = desk.state.version; }

  /** Lays a text into the area without losing the place of the caret. */
  function lay(text) {
    if (area.value === text) return;
    const [from, to] = [area.selectionStart, area.selectionEnd];
    let same = 0;
    while (same < text.length && same < area.value.length && text[same] === area.value[same]) same++;
    const by = text.length - area.value.length;
    const moved = (at) => (at <= same ? at : Math.max(same, at + by));
    area.value = text;
    if (document.activeElement === area) area.setSelectionRange(moved(from), moved(to));
  }

  area.addEventListener('input', () => { mark(); send(); });
  area.addEventListener('keydown', (event) => {
    if (event.key === 'Tab' && !event.shiftKey) {
      event.preventDefault();
      area.setRangeText('  ', area.selectionStart, area.selectionEnd, 'end');
      area.dispatchEvent(new Event('input'));
    } else if (event.key === 'Escape') /** @type {HTMLElement|null} */ (document.querySelector('#to-words'))?.focus();
  });
  const caret = () => {
    const line = area.value.slice(0, area.selectionStart).split('\n').length;
    if (document.activeElement === area && desk.state.chosen?.line !== line) chooseLine(desk, line);
  };
  area.addEventListener('click', caret);
  area.addEventListener('keyup', (event) => { if (/^(Arrow|Page|Home|End)/.test(event.key)) caret(); });

  /** What is in sight: height of a line, of the page, and how far it is pushed up, pixels. Asked anew only when it changes, since asking lays out all. */
  const sight = { line: 22.5, edge: 8, page: 0, top: 0 };
  function look() {
    const style = getComputedStyle(marks);
    Object.assign(sight, { line: parseFloat(style.lineHeight) || 22.5, edge: parseFloat(style.paddingTop) || 0, page: page.clientHeight, top: page.scrollTop });
  }
  /** What stands beside and under the words now: which lines, and what each was made from. */
  let rows = { first: 0, keys: /** @type {string[]} */ ([]), count: -1, text: '' };
  /** The mistakes by their lines, and of which mistakes and words they are. */
  let wrong = { by: /** @type {Map<number, any[]>} */ (new Map()), of: /** @type {any} */ (null), fresh: false };

  /** Underlines mistakes and shows the chosen line. */
  function mark() {
    const { mistakes } = desk.state;
    const fresh = area.value === desk.state.text && desk.state.version >= 0;
    if (wrong.of !== mistakes || wrong.fresh !== fresh) {
      wrong = { by: new Map(), of: mistakes, fresh };
      if (fresh) for (const one of mistakes) wrong.by.set(one.line, [...(wrong.by.get(one.line) ?? []), one]);
      render(fresh && mistakes.length ? mistakes.slice(0, 50).map((one) => html`<li class=${one.severity === 'mistake' ? 'bad' : 'soft'}>
        <button @click=${() => { chooseLine(desk, one.line); go(one.line); }}>Line ${one.line}: ${one.message}</button>${one.help || one.label ? html` <span class="soft">${one.help ?? one.label}</span>` : nothing}</li>`) : nothing, list);
      list.hidden = !(fresh && mistakes.length);
    }
    const lines = area.value.split('\n');
    if (rows.text !== area.value) measure(lines);
    beside(lines);
  }

  /** The room that all lines take: as high as they are many, as wide as the longest. */
  function measure(lines) {
    rows.text = area.value;
    if (rows.count !== lines.length) {
      rows.count = lines.length;
      for (const one of [gutter, marks]) one.style.height = `${lines.length * sight.line + 2 * sight.edge}px`;
      gutter.style.width = `${String(lines.length).length + 3}ch`;
    }
    // Letters differ in width: one of the longest lines is the widest.
    const longest = [...lines].sort((a, b) => b.length - a.length).slice(0, LONGEST).join('\n');
    if (widest.textContent !== longest) widest.textContent = longest;
  }

  /** Numbers and underlines of the lines in sight, and of as many on either side; only those that are others now are made anew. */
  function beside(lines) {
    const { chosen } = desk.state;
    // They begin at every twentieth line, so that few steps of the wheel make them anew.
    const shown = Math.ceil(sight.page / sight.line) + 20, top = Math.floor(sight.top / sight.line / 20) * 20;
    const first = Math.max(0, Math.min(top, lines.length) - shown), last = Math.min(lines.length, top + 2 * shown);
    const kind = (line) => (wrong.by.get(line)?.some((one) => one.severity === 'mistake') ? 'm' : wrong.by.has(line) ? 'w' : '');
    const keys = [];
    for (let at = first; at < last; at++) {
      const here = wrong.by.get(at + 1);
      keys.push(`${chosen?.line === at + 1 ? 'c' : ''}${kind(at + 1)} ${here ? `${JSON.stringify(here.map((one) => [one.column, one.end_line, one.end_column, one.severity]))}${lines[at]}` : ''}`);
    }
    if (first !== rows.first) {
      rows.first = first;
      rows.keys = [];
      for (const one of [gutter, under]) one.replaceChildren();
      gutter.style.paddingTop = `${sight.edge + first * sight.line}px`;
      under.style.paddingTop = `${first * sight.line}px`;
    }
    keys.forEach((key, i) => {
      if (rows.keys[i] === key) return;
      const at = first + i, number = document.createElement('span'), row = document.createElement('span');
      number.className = `${kind(at + 1)}${chosen?.line === at + 1 ? ' c' : ''}`;
      number.textContent = `${kind(at + 1) ? '▸' : ''}${at + 1}`;
      row.className = chosen?.line === at + 1 ? 'row row-chosen' : 'row';
      if (wrong.by.has(at + 1)) row.append(...underlined(lines[at], at + 1, wrong.by.get(at + 1) ?? []));
      for (const [parent, one] of /** @type {[Element, Element][]} */ ([[gutter, number], [under, row]])) {
        if (parent.children[i]) parent.children[i].replaceWith(one); else parent.append(one);
      }
    });
    for (const one of [gutter, under]) while (one.children.length > keys.length) one.lastElementChild?.remove();
    rows.keys = keys;
  }

  /** A line's words with its mistakes in spans. */
  function underlined(line, number, here) {
    const parts = [], letters = [...line];
    let from = 0;
    for (const one of here.sort((a, b) => a.column - b.column)) {
      const begin = Math.max(from, one.column - 1);
      const end = Math.max(begin + 1, one.end_line === number ? one.end_column - 1 : letters.length);
      parts.push(letters.slice(from, begin).join(''));
      const span = document.createElement('span');
      span.className = one.severity;
      span.textContent = letters.slice(begin, end).join('') || ' ';
      parts.push(span);
      from = end;
    }
    parts.push(letters.slice(from).join(''));
    return parts;
  }

  /** Brings a line into sight. */
  function go(line) {
    const tall = sight.line, y = (line - 1) * tall;
    if (y < page.scrollTop || y > page.scrollTop + page.clientHeight - 2 * tall) page.scrollTop = y - page.clientHeight / 3;
  }

  page.addEventListener('scroll', () => { sight.top = page.scrollTop; beside(area.value.split('\n')); });
  const size = new ResizeObserver(() => { look(); rows.count = -1; rows.text = ''; mark(); });
  size.observe(page);

  return {
    close() { size.disconnect(); },
    update(changed) {
      if ((changed.has('text') || changed.has('conflict')) && !sending && !desk.state.trial && !desk.state.conflict) put();
      if (changed.has('readOnly')) area.readOnly = desk.state.readOnly;
      if (['text', 'mistakes', 'chosen'].some((part) => changed.has(part))) mark();
      if (changed.has('chosen') && desk.state.chosen && document.activeElement !== area) go(desk.state.chosen.line);
    },
  };
}

/** Chooses what a line tells: its fixture or its pipe, where it tells one. */
export function chooseLine(desk, line) {
  const { plan } = desk.state;
  const fixture = plan?.fixtures.find((one) => one.line === line);
  const pipe = plan?.pipes.find((one) => one.line === line);
  desk.choose(fixture ? { kind: 'fixture', id: fixture.tag, line } : pipe ? { kind: 'pipe', id: pipe.id, line } : { kind: 'line', id: String(line), line });
}
