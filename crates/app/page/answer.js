// What a phone opens on: fits or not, by how much, where; then what to mend, in order; then the heights that are still open.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { history } from './history.js';
import { place, same } from './tables.js';

export const name = 'answer';
export const title = 'Answer';
export const parts = ['answer', 'doubts'];

/** The mark of each way to stand: told by words and shape, colour only repeats them. */
const MARKS = { mistakes: '\u2715', 'does-not-fit': '\u2715', breaks: '\u25B2', 'not-checked': '?', fits: '\u2713' };

/** The verdict, and what more is said of it: by how much, where. */
function verdict({ stand, words, items }) {
  const cut = (first) => [first, words.slice(first.length).replace(/^[,;:]\s*/, '')];
  switch (stand) {
    case 'fits': return words.startsWith('Fits') ? cut('Fits') : [words, ''];
    case 'does-not-fit': return words.startsWith('Does not fit') ? cut('Does not fit') : [words, ''];
    case 'not-checked': return ['Not checked', words];
    case 'mistakes': case 'breaks': return [words, items.length ? `First: ${items[0].words}` : ''];
    default: return [words, ''];
  }
}

const KINDS = { mistake: 'Mistake', miss: 'Height missed', finding: 'Rule broken', warning: 'Look at' };
const WHY = { assumed: 'assumed', unverified: 'not verified', unknown: 'not known' };
/** So many are shown before the rest is asked for. */
const FIRST = 12;

export function mount(el, desk, { show }) {
  let all = false;

  function ways(to) {
    return html`<p class="acts">
      <button @click=${() => { desk.choose(to); show('iso'); }}>Show on the isometric</button>
      <button @click=${() => { desk.choose(to); show('words'); }}>Show the words</button></p>`;
  }

  function item(one) {
    const to = place(desk.state.plan, one.about, one.line);
    const chosen = same(to, desk.state.chosen);
    return html`<li class="item ${one.kind} ${chosen ? 'chosen' : ''}">
      <button class="item-what" aria-pressed=${chosen} @click=${() => desk.choose(to)}>
        <span class="kind">${KINDS[one.kind] ?? one.kind}${one.number ? ` ${one.number}` : ''}</span>
        <span>${one.words}</span></button>
      ${one.help ? html`<p>${one.kind === 'warning' ? '' : html`<strong>To mend it: </strong>`}${one.help}</p>` : nothing}
      <p class="soft">${one.by ? `By ${one.by}. ` : ''}${one.about.length ? `At ${one.about.join(', ')}, line ${one.line}.` : `Line ${one.line}.`}</p>
      ${ways(to)}</li>`;
  }

  function doubts() {
    const list = desk.state.doubts ?? [];
    if (!list.length) return html`<p class="soft">No height is assumed or open.</p>`;
    const counts = Object.entries(WHY).map(([why, words]) => [list.filter((one) => one.why === why).length, words]).filter(([count]) => count);
    return html`
      <h3>${list.length === 1 ? '1 open height' : `${list.length} open heights`}</h3>
      <p class="soft">${counts.map(([count, words]) => `${count} ${words}`).join(', ')}.</p>
      <ul class="doubts">${list.map((one) => {
    const to = { kind: /** @type {const} */ ('line'), id: '', line: one.line };
    return html`<li><button aria-pressed=${same(to, desk.state.chosen)} @click=${() => desk.choose(to)}><span class="kind">${WHY[one.why] ?? one.why}</span> <span>${one.text}</span> <span class="soft">line ${one.line}</span></button>
      ${same(to, desk.state.chosen) ? ways(to) : nothing}</li>`;
  })}</ul>`;
  }

  function draw() {
    const { answer, readOnly } = desk.state;
    if (!answer) { render(html`<p class="pad soft">Looking at the job.</p>`, el); return; }
    const mark = MARKS[answer.stand];
    const [first, rest] = verdict(answer);
    const items = all ? answer.items : answer.items.slice(0, FIRST);
    const wrong = answer.items.filter((one) => one.kind !== 'warning').length;
    render(html`<div class="answer-page">
      <div class="stand ${answer.stand}" role="status">
        ${mark ? html`<span class="mark" aria-hidden="true">${mark}</span>` : nothing}
        <p><strong>${first}</strong>${rest ? html`<span>${rest}.</span>` : nothing}</p>
      </div>
      <nav class="row onward" aria-label="Onward">
        <button @click=${() => show('iso')}>Isometric</button>
        <button @click=${() => show('lists')}>Pieces and lists</button>
        <button @click=${() => history(desk)}>History</button>
        ${readOnly ? nothing : html`<a class="button" href="/">All jobs</a>`}
      </nav>
      ${answer.stand === 'empty' ? html`<p>Draw walls, fixtures and pipe on the <button class="link" @click=${() => show('plan')}>plan</button>, or write them as <button class="link" @click=${() => show('words')}>words</button>.</p>` : nothing}
      ${answer.items.length ? html`
        <h3>${wrong ? 'What to mend, in this order' : 'Worth a look'}</h3>
        <ol class="items">${items.map(item)}</ol>
        ${items.length < answer.items.length ? html`<p><button @click=${() => { all = true; draw(); }}>Show the other ${answer.items.length - items.length}</button></p>` : nothing}` : nothing}
      ${doubts()}
    </div>`, el);
  }

  return {
    update(changed) {
      if (['answer', 'doubts', 'chosen', 'plan', 'readOnly'].some((part) => changed.has(part))) draw();
    },
  };
}
