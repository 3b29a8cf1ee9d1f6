// The practice page: leaves of paper side by side as on the drafting table - the exercise and its plan, the drawing, its marks, the
// steps, the key; or an isometric to read, with its questions.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { Book, recall, remember } from './practice-book.js';
import { chooser } from './practice-home.js';
import * as exercise from './practice-exercise.js';
import * as drawing from './practice-draw.js';
import * as marks from './practice-marks.js';
import { key, steps } from './practice-show.js';
import { picture, questions } from './practice-read.js';

const DRAWING = [exercise, drawing, marks, steps, key], READING = [picture, questions];
const book = new Book();
// For whoever looks closer, and for the tests.
Object.assign(window, { book });
const wide = () => (innerWidth >= 1500 ? 3 : innerWidth >= 720 ? 2 : 1);
/** @type {() => any[]} */ const leaves = () => (book.state.reading ? READING : DRAWING);
const kind = () => (book.state.reading ? 'read' : 'draw');

/** Names of the open leaves, the one last asked for at the end. @type {string[]} */
let open = [];
/** @type {Map<string, {update: (changed: Set<string>) => void, close?: () => void}>} */
const mounted = new Map();
/** @type {ReturnType<typeof chooser>|null} */ let first = null;

/** Opens a leaf; on a narrow page it takes the place of another, but never that of the drawing where there is room for two. */
function show(name, { focus = true } = {}) {
  const was = open.includes(name);
  open = open.filter((one) => one !== name);
  open.push(name);
  while (open.length > wide()) open.splice(wide() > 1 && open[0] === 'draw' ? 1 : 0, 1);
  if (!was) lay(); else rememberOpen();
  if (focus || !was) document.getElementById(`leaf-${name}`)?.focus({ preventScroll: true });
}
function putAway(name) {
  if (open.length > 1) open = open.filter((one) => one !== name);
  lay();
}
function rememberOpen() { remember(`open-${kind()}`, open); }

/** Lays out the leaves that are open. */
function lay() {
  for (const [name, leaf] of mounted) if (!open.includes(name)) { leaf.close?.(); mounted.delete(name); }
  rememberOpen();
  frame();
  for (const leaf of leaves()) {
    if (!open.includes(leaf.name) || mounted.has(leaf.name)) continue;
    mounted.set(leaf.name, leaf.mount(/** @type {HTMLElement} */ (document.querySelector(`#leaf-${leaf.name} .leaf-body`)), book, { show, next }));
  }
}

const KEPT = { kept: 'Kept', keeping: 'Being kept', 'not kept': 'Not kept yet' };

function frame() {
  const { exercise: one, reading, kept, wrong, help, offline } = book.state;
  const { past, future } = book.ink;
  const order = leaves().filter((leaf) => open.includes(leaf.name));
  render(html`
    <a class="skip" href="#table">To the leaves</a>
    <header class="strip practice-strip">
      <h1><a href="/practice" title="All levels" @click=${home}>${one.level ? `Level ${one.level}: ` : ''}${one.title}</a></h1>
      ${reading ? nothing : html`<span class="kept ${kept === 'not kept' ? 'unkept' : ''}" role="status">${KEPT[kept]}</span>
        <div class="undo" role="group" aria-label="Undo and redo">
          <button id="undo" ?disabled=${!past.length} @click=${() => back(false)} title="Undo (Ctrl Z)">Undo</button>
          <button id="redo" ?disabled=${!future.length} @click=${() => back(true)} title="Redo (Ctrl Shift Z)">Redo</button></div>`}
    </header>
    <nav class="index" aria-label="Leaves">${leaves().map((leaf) => html`<button id="to-${leaf.name}" aria-pressed=${open.includes(leaf.name)} @click=${() => (open.includes(leaf.name) && wide() > 1 ? putAway(leaf.name) : show(leaf.name))}>${leaf.title}</button>`)}</nav>
    <p class="wrong" role="alert">${offline ? html`<strong>The program does not answer.</strong> What is drawn stays in this browser. Where the program was stopped, start it again and open the address it prints.` : wrong ? html`<strong>${wrong}</strong> ${help}` : nothing}</p>
    <main id="table" tabindex="-1" data-leaves=${order.length}>
      ${leaves().map((leaf) => (open.includes(leaf.name) ? html`<section class="leaf practice-${leaf.name}" id="leaf-${leaf.name}" tabindex="-1" aria-labelledby="head-${leaf.name}">
        <div class="leaf-head"><h2 id="head-${leaf.name}">${leaf.title}</h2></div><div class="leaf-body"></div></section>` : nothing))}
    </main>`, page('at-work'));
}

/** What the page shows lies in an element of its own, so that one kind of page never finds the remains of the other. */
function page(name) {
  let el = /** @type {HTMLElement|null} */ (document.querySelector(`body > .${name}`));
  if (!el) {
    for (const leaf of mounted.values()) leaf.close?.();
    mounted.clear();
    el = document.createElement('div');
    el.className = `page ${name}`;
    document.querySelector('body > .page')?.remove();
    document.body.append(el);
  }
  return el;
}

function back(redo) {
  book.hand?.leave();
  if (redo) book.ink.redo(); else book.ink.undo();
}

/** Opens an exercise, and says so in the page's address. */
async function begin(which, reading, push = true) {
  const before = kind();
  const seen = await book.begin(which, reading);
  if (seen.wrong) return seen;
  if (push) history.pushState(null, '', `/practice?${new URLSearchParams({ code: seen.code, ...(reading ? { read: '1' } : {}) })}`);
  document.title = `${seen.title} - Practice`;
  if (before !== kind()) { for (const leaf of mounted.values()) leaf.close?.(); mounted.clear(); open = []; }
  if (!document.querySelector('body > .at-work')) open = [];
  first = null;
  if (!open.length) {
    const usual = reading ? ['isometric', 'questions'] : ['exercise', 'draw'];
    const known = (recall(`open-${kind()}`) ?? usual).filter((name) => leaves().some((leaf) => leaf.name === name));
    // Marks and key of an exercise that has not been marked are no place to begin.
    const fit = known.filter((name) => !['marks', 'key', 'steps'].includes(name) || wide() === 3);
    open = (fit.length ? fit : usual).slice(0, wide());
    if (wide() === 1) open = [usual[0]];
  }
  lay();
  if (push) document.getElementById('table')?.focus({ preventScroll: true });
  return seen;
}

/** A fresh one of the same level and code. */
async function next() {
  const seen = await begin({ level: book.state.exercise.level, practice: recall('code') ?? book.state.home?.codes[0]?.id ?? '' }, book.state.reading);
  if (seen.wrong) book.refuse(seen);
}

function home(event) {
  if (event && (event.ctrlKey || event.metaKey || event.shiftKey)) return;
  event?.preventDefault();
  if (event) history.pushState(null, '', '/practice');
  document.title = 'Practice - Wyeline';
  first = chooser(page('at-home'), book, begin);
}

book.on((changed) => {
  if (first) { if (changed.has('home') || changed.has('wrong')) first.draw(); return; }
  if (!book.state.exercise) return;
  if (['exercise', 'ink', 'kept', 'wrong', 'help', 'offline'].some((name) => changed.has(name)) && document.querySelector('body > .at-work')) frame();
  for (const leaf of mounted.values()) leaf.update(changed);
});

addEventListener('keydown', (event) => {
  if (!book.state.exercise || first) return;
  const field = event.target instanceof HTMLInputElement && event.target.type === 'text';
  const name = event.key.toLowerCase();
  if ((event.ctrlKey || event.metaKey) && !event.altKey && !field && !book.state.reading && (name === 'z' || name === 'y')) {
    event.preventDefault();
    back(event.shiftKey || name === 'y');
  } else if (event.altKey && /^[1-5]$/.test(event.key) && leaves()[Number(event.key) - 1]) {
    event.preventDefault();
    show(leaves()[Number(event.key) - 1].name);
  }
});
let was = wide();
addEventListener('resize', () => { if (wide() !== was) { was = wide(); if (!first && open.length) { while (open.length > was) open.shift(); lay(); } } });

/** Shows what the page's address asks for. */
async function go() {
  const asked = new URLSearchParams(location.search), code = asked.get('code');
  if (code) {
    const seen = await begin({ code }, asked.has('read'), false);
    if (!seen.wrong) return;
    home(null);
    first?.refuse(code, seen);
  } else home(null);
}
addEventListener('popstate', go);
go().then(() => { document.documentElement.dataset.ready = 'yes'; });
