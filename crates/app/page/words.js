// The words of the job, with every mistake at its place. What is typed is kept at once; what is drawn changes only its lines.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { merged } from './merge.js';

export const name = 'words', title = 'Words', parts = ['text', 'mistakes'];

export function mount(el, desk) {
  render(html`<div class="page"><div class="gutter" aria-hidden="true"></div><div class="layer"><pre class="marks" aria-hidden="true"></pre>
    <textarea id="words" spellcheck="false" autocapitalize="off" autocomplete="off" aria-label="The words of the job" wrap="off"></textarea></div></div><ol class="mistakes" aria-label="Mistakes"></ol>`, el);
  const area = /** @type {HTMLTextAreaElement} */ (el.querySelector('textarea'));
  const marks = /** @type {HTMLElement} */ (el.querySelector('.marks'));
  const gutter = /** @type {HTMLElement} */ (el.querySelector('.gutter'));
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

  /** Underlines mistakes and shows the chosen line. */
  function mark() {
    const { mistakes, chosen, version } = desk.state;
    const lines = area.value.split('\n');
    const fresh = area.value === desk.state.text && version >= 0;
    /** @type {Map<number, any[]>} */
    const by = new Map();
    if (fresh) for (const one of mistakes) by.set(one.line, [...(by.get(one.line) ?? []), one]);
    const kind = (line) => (by.get(line)?.some((one) => one.severity === 'mistake') ? 'm' : by.has(line) ? 'w' : '');
    gutter.replaceChildren(...lines.flatMap((_, at) => {
      const span = document.createElement('span');
      span.className = `${kind(at + 1)}${chosen?.line === at + 1 ? ' c' : ''}`;
      span.textContent = `${kind(at + 1) ? '▸' : ''}${at + 1}`;
      return [span, '\n'];
    }));
    marks.replaceChildren(...lines.flatMap((line, at) => {
      const row = document.createElement('span');
      if (chosen?.line === at + 1) row.className = 'row-chosen';
      let from = 0;
      const letters = [...line];
      for (const one of (by.get(at + 1) ?? []).sort((a, b) => a.column - b.column)) {
        const begin = Math.max(from, one.column - 1);
        const end = Math.max(begin + 1, one.end_line === one.line ? one.end_column - 1 : letters.length);
        row.append(letters.slice(from, begin).join(''));
        const span = document.createElement('span');
        span.className = one.severity;
        span.textContent = letters.slice(begin, end).join('') || ' ';
        row.append(span);
        from = end;
      }
      row.append(letters.slice(from).join(''));
      return [row, '\n'];
    }));
    render(fresh && mistakes.length ? mistakes.slice(0, 50).map((one) => html`<li class=${one.severity === 'mistake' ? 'bad' : 'soft'}>
      <button @click=${() => { chooseLine(desk, one.line); go(one.line); }}>Line ${one.line}: ${one.message}</button>${one.help || one.label ? html` <span class="soft">${one.help ?? one.label}</span>` : nothing}</li>`) : nothing, list);
    list.hidden = !(fresh && mistakes.length);
  }

  /** Brings a line into sight. */
  function go(line) {
    const page = /** @type {HTMLElement} */ (el.querySelector('.page'));
    const high = gutter.scrollHeight / Math.max(1, area.value.split('\n').length);
    const y = (line - 1) * high;
    if (y < page.scrollTop || y > page.scrollTop + page.clientHeight - 2 * high) page.scrollTop = y - page.clientHeight / 3;
  }

  return {
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
