// The drafting table: leaves of paper that lie side by side, a line on top that says how the job stands, and one below that says
// what is in hand.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { Desk } from './desk.js';
import { home } from './home.js';
import { sentence } from './sentence.js';
import { conflict } from './conflict.js';
import * as answer from './answer.js';
import * as plan from './plan.js';
import * as iso from './iso.js';
import * as words from './words.js';
import * as sizes from './sizes.js';
import * as checks from './checks.js';
import * as lists from './lists.js';
import * as sheets from './sheets.js';

/** Every leaf there is, in the order in which they lie. */
const leaves = [answer, plan, iso, words, sizes, checks, lists, sheets];
const desk = new Desk();
// For whoever looks closer, and for the tests.
Object.assign(window, { desk, hand: () => plan.hand });
const wide = () => (innerWidth >= 1500 ? 3 : innerWidth >= 720 ? 2 : 1);

/** Names of the open leaves, the one last asked for at the end. @type {string[]} */
let open = [];
/** @type {Map<string, {el: HTMLElement, update: (changed: Set<string>) => void, close?: () => void}>} */
const mounted = new Map();

function remember() {
  // The last view is kept, so that a phone that was put away opens where it was.
  try { localStorage.setItem(`wyeline:${desk.state.job}`, JSON.stringify({ open, view: desk.state.view })); } catch { /* private windows keep nothing */ }
}

function recalled() {
  try { return JSON.parse(localStorage.getItem(`wyeline:${desk.state.job}`) ?? 'null'); } catch { return null; }
}

/** Opens a leaf; on a narrow page it takes the place of another. */
export async function show(name) {
  open = open.filter((one) => one !== name);
  open.push(name);
  while (open.length > wide()) open.shift();
  await lay();
  document.getElementById(`leaf-${name}`)?.focus({ preventScroll: true });
}

function putAway(name) {
  if (open.length > 1) open = open.filter((one) => one !== name);
  lay();
}

async function lay() {
  for (const [name, leaf] of mounted) {
    if (!open.includes(name)) {
      leaf.close?.();
      desk.want(name, null);
      mounted.delete(name);
    }
  }
  const fresh = [];
  for (const leaf of leaves) {
    if (open.includes(leaf.name) && !mounted.has(leaf.name)) {
      desk.want(leaf.name, leaf.parts);
      fresh.push(leaf);
    }
  }
  remember();
  frame();
  for (const leaf of fresh) {
    const el = /** @type {HTMLElement} */ (document.querySelector(`#leaf-${leaf.name} .leaf-body`));
    mounted.set(leaf.name, { el, ...leaf.mount(el, desk, { show }) });
  }
  if (fresh.some((leaf) => leaf.parts.some((part) => !desk.fresh(part)))) await desk.look();
  else fresh.forEach((leaf) => mounted.get(leaf.name)?.update(new Set(leaf.parts)));
}

function frame() {
  const { title, answer: said, undo, redo, readOnly, wrong, help, offline, job, working } = desk.state;
  const order = leaves.filter((leaf) => open.includes(leaf.name));
  render(html`
    <a class="skip" href="#table">To the drawing</a>
    <header class="strip">
      <h1>${readOnly ? title || job : html`<a href="/" title="All jobs">${title || job}</a>`}</h1>
      <button class="verdict ${said?.stand ?? ''}" @click=${() => show('answer')} aria-label="How it stands: ${said?.words ?? ''}">${said?.words ?? ''}</button>
      <span class="working" role="status">${working ? 'Working it out' : ''}</span>
      ${readOnly ? html`<span class="only">to read only</span>` : html`
        <div class="undo" role="group" aria-label="Undo and redo">
          <button id="undo" ?disabled=${!undo} @click=${() => desk.back(false)} title="Undo (Ctrl Z)">Undo</button>
          <button id="redo" ?disabled=${!redo} @click=${() => desk.back(true)} title="Redo (Ctrl Shift Z)">Redo</button>
        </div>`}
    </header>
    <nav class="index" aria-label="Leaves">
      ${leaves.map((leaf) => html`<button id="to-${leaf.name}" aria-pressed=${open.includes(leaf.name)} @click=${() => (open.includes(leaf.name) && wide() > 1 ? putAway(leaf.name) : show(leaf.name))}>${leaf.title}</button>`)}
    </nav>
    <p class="wrong" role="alert">${offline ? html`<strong>The program does not answer.</strong> What is drawn is kept. Where it was stopped, start it again and open the address it prints.` : wrong ? html`<strong>${wrong}</strong> ${help}` : nothing}</p>
    <main id="table" data-leaves=${order.length}>
      ${leaves.map((leaf) => (open.includes(leaf.name) ? html`
        <section class="leaf ${leaf.name}" id="leaf-${leaf.name}" tabindex="-1" aria-labelledby="head-${leaf.name}">
          <div class="leaf-head"><h2 id="head-${leaf.name}">${leaf.title}</h2></div>
          <div class="leaf-body"></div>
        </section>` : nothing))}
    </main>
    <footer class="sentence" id="sentence"></footer>`, document.body);
}

const line = sentence(desk, { show });
const clash = conflict(desk);

desk.on((changed) => {
  if (['title', 'answer', 'undo', 'redo', 'wrong', 'help', 'offline', 'readOnly', 'working'].some((name) => changed.has(name))) frame();
  for (const leaf of mounted.values()) leaf.update(changed);
  const foot = document.getElementById('sentence');
  if (foot) line(foot, changed);
  if (changed.has('view')) remember();
  if (changed.has('conflict')) clash();
  if (changed.has('title')) document.title = desk.state.title ? `${desk.state.title} - Wyeline` : 'Wyeline';
});

addEventListener('keydown', (event) => {
  const typing = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement || event.target instanceof HTMLSelectElement;
  if ((event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === 'z' && !(typing && event.target instanceof HTMLInputElement)) {
    event.preventDefault();
    desk.back(event.shiftKey);
  } else if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 'y' && !typing) {
    event.preventDefault();
    desk.back(true);
  } else if (event.altKey && /^[1-8]$/.test(event.key)) {
    event.preventDefault();
    show(leaves[Number(event.key) - 1].name);
  } else if (event.key === '/' && !typing) {
    event.preventDefault();
    /** @type {HTMLElement|null} */ (document.querySelector('#say'))?.focus();
  }
});
let was = wide();
addEventListener('resize', () => {
  if (desk.state.job && wide() !== was) { was = wide(); while (open.length > was) open.shift(); lay(); }
});

async function begin() {
  const job = location.pathname.match(/^\/job\/(.+)$/);
  if (!job) { await home(document.body); return; }
  desk.state.job = decodeURIComponent(job[1]);
  const kept = recalled();
  if (kept?.view) desk.state.view = { ...desk.state.view, ...kept.view };
  const first = { 1: ['answer'], 2: ['plan', 'iso'], 3: ['plan', 'iso', 'words'] }[wide()] ?? ['answer'];
  open = (kept?.open ?? first).filter((name) => leaves.some((leaf) => leaf.name === name)).slice(-wide());
  if (!open.length) open = first;
  for (const leaf of leaves) if (open.includes(leaf.name)) desk.want(leaf.name, leaf.parts);
  // A large job takes its time: the table stands there meanwhile.
  frame();
  await desk.open(desk.state.job);
  await lay();
  document.documentElement.dataset.ready = 'yes';
}
begin();
