// Tables as every leaf lays them out, places that are chosen from them, and figures of the program in the job's units.
// @ts-check
import { html, nothing } from './vendor/lit-html.js';

/**
 * @typedef {{head: string, right?: boolean, unseen?: boolean}} Column a heading; `unseen` ones are said, not shown
 * @typedef {{cells: unknown[], name?: string, act?: (() => void)|null, chosen?: boolean, below?: unknown}} Row
 *   the first cell is the row's heading, and its button where there is something to choose (`name` is what a reader hears)
 * @typedef {{name?: unknown, rows: Row[], totals?: unknown[][]}} Group
 */

/**
 * A table in a box of its own, which scrolls sideways while the first column stays.
 * @param {{caption: string, columns: Column[], groups: Group[], id?: string, shown?: boolean}} what `shown`: the caption is seen, too
 */
export function table({ caption, columns, groups, id, shown = false }) {
  const wide = columns.length;
  const side = (at) => (columns[at]?.right ? 'right' : nothing);
  // Long words get room: the box scrolls sideways rather than stack them letter by letter.
  const kind = (at, cell) => (columns[at]?.right ? 'right' : typeof cell === 'string' ? (cell.length > 20 ? 'long' : 'word') : nothing);
  const first = (row) => (row.act
    ? html`<button class="row-name" aria-pressed=${row.chosen === true} aria-label=${row.name ?? nothing} @click=${row.act}>${row.cells[0]}</button>`
    : row.cells[0]);
  const line = (row) => html`
    <tr class=${[row.chosen ? 'chosen' : '', row.act ? 'can' : ''].join(' ').trim() || nothing} @click=${row.act ? (event) => pointed(event, row.act) : nothing}>
      ${blank(row.cells[0]) ? html`<td></td>` : html`<th scope="row" class=${side(0)}>${first(row)}</th>`}
      ${row.cells.slice(1).map((cell, at) => html`<td class=${kind(at + 1, cell)}>${cell}</td>`)}
    </tr>
    ${row.below ? html`<tr class="below"><td colspan=${wide}><div class="below-in">${row.below}</div></td></tr>` : nothing}`;
  return html`
    <div class="table-box" tabindex="0" role="group" aria-label=${caption} id=${id ?? nothing}>
      <table>
        <caption class=${shown ? nothing : 'unseen'}>${caption}</caption>
        <thead><tr>${columns.map((column, at) => html`<th scope="col" class=${side(at)}>${column.unseen ? html`<span class="unseen">${column.head}</span>` : column.head}</th>`)}</tr></thead>
        ${groups.map((group) => html`<tbody>
          ${group.name ? html`<tr class="group"><th scope="rowgroup" colspan=${wide}><span>${group.name}</span></th></tr>` : nothing}
          ${group.rows.map(line)}
          ${(group.totals ?? []).map((cells) => html`<tr class="total">${cells.map((cell, at) => html`<td class=${kind(at, cell)}>${cell}</td>`)}</tr>`)}
        </tbody>`)}
      </table>
    </div>`;
}

const blank = (cell) => cell === '' || cell === null || cell === undefined || cell === nothing;

/** A pointer on a row does what its button does, but not where it marks text or means another button. */
function pointed(event, act) {
  const on = /** @type {HTMLElement} */ (event.target);
  if (!on.closest('button, a, select, .below') && getSelection()?.isCollapsed !== false) act();
}

/**
 * Long tables are drawn after the page has been painted, once however often they were asked for: the drawing comes first.
 * @param {() => void} draw
 */
export function later(draw) {
  let due = false;
  return () => {
    if (due) return;
    due = true;
    requestAnimationFrame(() => setTimeout(() => { due = false; draw(); }));
  };
}

/** Words with a heading, put away until they are asked for. */
export const folded = (summary, body, open = false) => html`<details ?open=${open}><summary>${summary}</summary>${body}</details>`;

/** Paragraphs of what the program says, one a line. */
export const lines = (words, kind = 'soft') => (words ?? '').split('\n').filter(Boolean).map((line) => html`<p class=${kind}>${line}</p>`);

/** Places of a plan by their names, made once for each plan. @type {WeakMap<object, Map<string, import('./desk.js').Chosen>>} */
const known = new WeakMap();

function named(plan) {
  const was = known.get(plan);
  if (was) return was;
  const all = new Map();
  // What is put in last counts: pipes before fixtures before points.
  for (const node of plan.nodes) for (const id of [node.id, node.name]) if (id) all.set(id, { kind: 'line', id: '', line: node.line });
  for (const fixture of plan.fixtures) all.set(fixture.tag, { kind: 'fixture', id: fixture.tag, line: fixture.line });
  for (const pipe of plan.pipes) all.set(pipe.id, { kind: 'pipe', id: pipe.id, line: pipe.line });
  known.set(plan, all);
  return all;
}

/**
 * The place that an id or a tag names: a pipe, a fixture, or else the line.
 * @param {any} plan
 * @param {string[]} about ids of pipes and tags of fixtures
 * @param {number} line of the job, from 1; that of the thing where 0
 * @returns {import('./desk.js').Chosen|null} nothing where there is no such place
 */
export function place(plan, about, line) {
  const all = plan ? about.map((id) => named(plan).get(id)).filter((one) => one !== undefined) : [];
  const first = all.find((one) => one.kind !== 'line') ?? all[0];
  if (first) return { ...first, line: line || first.line };
  return line ? { kind: 'line', id: '', line } : null;
}

/** Whether two chosen things are one. */
export const same = (a, b) => !!a && !!b && a.kind === b.kind && a.id === b.id && (a.kind !== 'line' || a.line === b.line);

/** A chosen row is brought into its box, without moving what does not have to. */
export function intoView(el) {
  requestAnimationFrame(() => {
    for (const what of ['tr.below h4', 'tr.chosen > th', 'li.chosen > button']) el.querySelector(what)?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  });
}

/** Where something stands, from what the program cites; how it was come by where that is not by reading it. */
export function cited(cite) {
  if (!cite) return '';
  const how = { computed: ' (computed)', 'common-practice': ' (common practice)', memory: ' (from memory)', local: ' (local amendment)' }[cite.how] ?? '';
  if (cite.how === 'common-practice' && cite.document.toLowerCase() === 'common practice') return `common practice, ${cite.place}`;
  return `${cite.document} ${cite.place}${how}`;
}

// 0.45359237 kg x 9.80665 m/s2 over 0.0254 m squared; 231 cubic inches; International Table Btu: as the program has them.
const PSI = 6894.757293168, GALLON = 3.785411784, BTU_PER_HOUR = 1055.05585262 / 3600;
const some = (value, words) => (value === null || value === undefined ? '' : words(value));

/** A figure with at most two decimals, idle zeros left out. */
export const figure = (value) => value.toFixed(2).replace(/\.?0+$/, '');
/** From Pa. */
export const pressure = (pa, metric) => some(pa, (v) => (metric ? `${(v / 1000).toFixed(0)} kPa` : `${(v / PSI).toFixed(1)} psi`));
/** From litres a second. */
export const flow = (lps, metric) => some(lps, (v) => (metric ? `${v.toFixed(2)} l/s` : `${(v * 60 / GALLON).toFixed(1)} gpm`));
/** From watts. */
export const power = (watts, metric) => (metric ? `${(watts / 1000).toFixed(1)} kW` : `${Math.round(watts / BTU_PER_HOUR).toLocaleString('en-US')} btu/h`);
/** From litres. */
export const volume = (litres, metric) => some(litres, (v) => (metric ? `${v.toFixed(1)} l` : `${(v / GALLON).toFixed(2)} gal`));
/** From metres a second; a foot is 0.3048 m. */
export const velocity = (metres, metric) => some(metres, (v) => (metric ? `${v.toFixed(1)} m/s` : `${(v / 0.3048).toFixed(1)} ft/s`));

/** A slope as the trade says it, from fall over run: sixteenths of an inch to the foot where it is one, 1:N where it is one. */
export function slope(ratio, metric) {
  if (ratio === null || ratio === undefined) return '';
  if (Math.abs(ratio) < 1e-9) return 'level';
  if (metric) {
    const run = Math.round(1 / ratio);
    return Math.abs(ratio * run - 1) < 1e-4 ? `1:${run}` : `${(ratio * 100).toFixed(2)}%`;
  }
  const sixteenths = Math.round(ratio * 192);
  if (sixteenths <= 0 || Math.abs(ratio * 192 - sixteenths) > 0.001) return `${(ratio * 12).toFixed(3)} in/ft`;
  let part = sixteenths % 16, of = 16;
  while (part && part % 2 === 0) { part /= 2; of /= 2; }
  const whole = Math.floor(sixteenths / 16);
  return `${[whole || '', part ? `${part}/${of}` : ''].filter(Boolean).join('-')} in/ft`;
}
