// The lists of the job: what to buy, what to cut, where it comes through. A row that names a piece shows where it goes.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { intoView, later, lines, place, same, table } from './tables.js';

export const name = 'lists';
export const title = 'Lists';
export const parts = ['lists'];

/** Marks in a cell, each for itself: `P1-P3, P7` are four. @returns {string[]} */
export function marksIn(words) {
  const all = [];
  for (const [, letter, from, to] of words.matchAll(/\b([PF])(\d+)(?:-\1(\d+))?(?![\w"'])/g)) {
    for (let number = Number(from); number <= Number(to ?? from) && all.length < 5000; number++) all.push(letter + number);
  }
  return all;
}

/** The pipe that each mark is cut for; a fitting is found by the first piece that ends in it. */
function places(lists) {
  /** @type {Map<string, string>} */
  const at = new Map();
  for (const [pipe, words] of Object.entries(lists.marks)) {
    for (const mark of marksIn(words)) at.set(mark, pipe);
  }
  const pieces = lists.lists.find((list) => list.id === 'pieces');
  const ends = ['from', 'to'].map((key) => pieces?.columns.findIndex((column) => column.key === key) ?? -1);
  for (const row of pieces?.groups.flatMap((group) => group.rows) ?? []) {
    const pipe = at.get(row[0]);
    if (!pipe) continue;
    for (const mark of ends.flatMap((end) => marksIn(row[end] ?? ''))) if (!at.has(mark)) at.set(mark, pipe);
  }
  return at;
}

/** Columns in which the marks of a row stand. */
const TELLS = ['piece', 'pieces', 'bar', 'marks'];

export function mount(el, desk, { show }) {
  /** @type {any} */ let of = null;
  /** @type {Map<string, string>} */ let at = new Map();

  /** Places that a row names: pipes of its marks, else its fixture, else its line. */
  function targets(list, row) {
    const { plan } = desk.state;
    const cell = (key) => row[list.columns.findIndex((column) => column.key === key)] ?? '';
    const marks = TELLS.flatMap((key) => marksIn(cell(key)));
    const pipes = new Set(marks.flatMap((mark) => at.get(mark) ?? []));
    if (pipes.size) return [...pipes].map((pipe) => place(plan, [pipe], 0)).filter(Boolean);
    const tag = cell('fixture'), line = Number(cell('line'));
    const to = tag ? place(plan, [tag], 0) : line ? place(plan, [], line) : null;
    return to ? [to] : [];
  }

  function one(list) {
    const { chosen } = desk.state;
    // A column without a heading is read out by its name.
    const columns = list.columns.map((column) => ({ head: column.head || column.key.replace(/_\d+$/, '').replaceAll('_', ' '), right: column.right, unseen: !column.head }));
    const groups = list.groups.map((group) => ({
      name: group.name,
      totals: group.totals,
      rows: group.rows.map((cells) => {
        const to = targets(list, cells), here = to.findIndex((one) => same(one, chosen));
        // A row of several pieces shows one after the other.
        const act = to.length ? () => desk.choose(to[(here + 1) % to.length]) : null;
        return { cells, name: cells.filter(Boolean).slice(0, 4).join(', '), chosen: here >= 0, act };
      }),
    }));
    return html`
      <section class="list" aria-labelledby="list-${list.id}">
        <div class="list-head"><h3 id="list-${list.id}" tabindex="-1">${list.title}</h3><a class="button" href=${desk.at(`/lists/${list.id}.csv`)} download aria-label="${list.title} as CSV">CSV</a></div>
        ${table({ caption: list.title, columns, groups })}
        ${list.notes.flatMap((note) => lines(note))}
      </section>`;
  }

  function draw() {
    const { lists, chosen } = desk.state;
    if (!lists) { render(html`<p class="pad soft">Working out the lists.</p>`, el); return; }
    if (of !== lists) { of = lists; at = places(lists); }
    const here = chosen?.kind === 'pipe' ? lists.marks[chosen.id] : null;
    render(html`<div class="tables">
      ${lists.mistakes.length ? html`
        <section aria-label="What does not fit together">
          <h3>What does not fit together</h3>
          <ul class="plain-list">${lists.mistakes.map((one) => html`<li class=${one.severity === 'warning' ? 'warns' : 'errs'}>
            <p><strong>${one.severity === 'warning' ? 'Look at: ' : 'Mistake: '}</strong>${one.message}</p>
            ${one.help ? html`<p class="soft">${one.help}</p>` : nothing}
            <button @click=${() => { desk.choose(place(null, [], one.line)); show('words'); }}>Line ${one.line}</button></li>`)}</ul>
        </section>` : nothing}
      ${lists.lists.length ? html`
        <nav class="row list-index" aria-label="Lists">
          ${lists.lists.map((list) => html`<button @click=${() => to(list.id)}>${list.title}</button>`)}
          <a class="button" href=${desk.at('/lists/lists.xlsx')} download>All as a workbook</a>
        </nav>
        ${lists.lists.map(one)}`
    : html`<p class="soft">No pipe is new in this job, so there is nothing to buy or to cut.</p>`}
      ${lines(lists.caution)}
      ${lines(lists.gas_caution, 'caution')}
      ${here ? html`<p class="here" role="status"><span><strong>${here}</strong>, ${chosen.id}</span> <button @click=${() => show('iso')}>Show on the isometric</button></p>` : nothing}
    </div>`, el);
  }

  function to(id) {
    const head = el.querySelector(`#list-${CSS.escape(id)}`);
    head?.scrollIntoView({ block: 'start' });
    head?.focus({ preventScroll: true });
  }

  let moved = false;
  const soon = later(() => { draw(); if (moved) intoView(el); moved = false; });
  return {
    update(changed) {
      if (changed.has('chosen')) moved = true;
      if (['lists', 'chosen', 'plan'].some((part) => changed.has(part))) soon();
    },
  };
}
