// The first page of practice: a level and what is learnt by it, or an exercise by its code; what has been done so far.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { recall, remember } from './practice-book.js';
import { points } from './practice-marks.js';

/** @param {HTMLElement} el @param {import('./practice-book.js').Book} book @param {(which: {code: string}|{level: number, practice: string}, reading: boolean) => Promise<any>} open */
export function chooser(el, book, open) {
  let practice = recall('code') ?? '', typed = '', busy = false, sure = false;
  /** What was refused, beside what was asked. */
  let wrong = { at: '', words: '' };

  async function go(which, reading, at) {
    if (busy) return;
    busy = true;
    wrong = { at: '', words: '' };
    draw();
    const seen = await open(which, reading);
    busy = false;
    if (seen.wrong) refuse(at, seen);
  }
  function refuse(at, seen) {
    wrong = { at, words: [seen.wrong, seen.help].filter(Boolean).join(': ') };
    draw();
    document.getElementById(at)?.focus();
  }
  function byCode(event) {
    event.preventDefault();
    const reading = event.submitter?.value === 'read';
    if (!typed.trim()) { wrong = { at: 'code', words: 'Type the code that stands on the sheet.' }; draw(); document.getElementById('code')?.focus(); return; }
    go({ code: typed.trim() }, reading, 'code');
  }
  const level = (number) => ({ level: number, practice: practice || book.state.home.codes[0]?.id || '' });
  const error = (id) => (wrong.at === id ? html`<p class="error" id="${id}-wrong" role="alert">${wrong.words}</p>` : nothing);
  const when = (time) => new Date(time * 1000).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' });
  const share = (one) => (one.of > 0 ? one.got / one.of : 0);
  function best(number) {
    const all = book.state.home.progress.filter((one) => one.level === number);
    if (!all.length) return nothing;
    const one = all.reduce((a, b) => (share(b) > share(a) ? b : a));
    return html`<span class="best">${all.length} done, best ${points(one.got)} of ${points(one.of)}</span>`;
  }
  async function forget() {
    if (!sure) { sure = true; draw(); document.getElementById('forget')?.focus(); return; }
    sure = false;
    await book.forget();
    draw();
    document.getElementById('progress')?.focus();
  }

  function progress() {
    const { progress: all } = book.state.home;
    return html`<section class="home-progress" aria-labelledby="progress"><h2 id="progress" tabindex="-1">Done so far</h2>
      ${all.length ? html`<p class="hint">Kept on this machine and nowhere else.</p>
        <ul class="jobs">${[...all].sort((a, b) => b.time - a.time).map((one) => html`<li><button class="job" ?disabled=${busy} @click=${() => go({ code: one.code }, false, 'code')}>
          <strong>${one.code}</strong><span>Level ${one.level}, ${points(one.got)} of ${points(one.of)} points, ${when(one.time)}</span></button></li>`)}</ul>
        <p class="row-of"><button id="forget" @click=${forget}>${sure ? 'Yes, forget all of it' : 'Forget all of it'}</button>
          ${sure ? html`<button @click=${() => { sure = false; draw(); }}>Keep it</button> <span role="status">What was drawn and marked is gone then.</span>` : nothing}</p>`
    : html`<p>Nothing has been marked yet. Marks are kept on this machine and nowhere else.</p>`}</section>`;
  }

  function draw() {
    const { home } = book.state;
    render(html`
      <a class="skip" href="#levels">To the levels</a>
      <header class="home-head"><h1>Practice</h1><p>Draw an isometric from its plan and have it marked, or read one. <a href="/">To the jobs</a></p></header>
      <main class="home practice-home">
        ${home === null ? html`<p>Looking for the levels.</p>` : home.wrong ? html`<p class="error" role="alert">${home.wrong}</p>` : html`
        <section class="home-code" aria-labelledby="code-head"><h2 id="code-head">By its code</h2>
            <form @submit=${byCode} novalidate><div class="question"><label for="code">Code of the exercise</label>
              <p class="hint" id="code-hint">As it stands on the sheet; hyphens may be left out.</p>
              <input type="text" id="code" autocomplete="off" autocapitalize="characters" spellcheck="false" aria-invalid=${wrong.at === 'code'} aria-describedby="code-hint ${wrong.at === 'code' ? 'code-wrong' : ''}" .value=${typed} @input=${(event) => { typed = event.target.value; }}>${error('code')}</div>
              <p class="row-of"><button type="submit" value="draw" class="strong" ?disabled=${busy}>Draw it</button> <button type="submit" value="read" ?disabled=${busy}>Read it</button></p></form></section>
        <section class="home-levels" aria-labelledby="levels"><h2 id="levels" tabindex="-1">Choose a level</h2>
          ${home.codes.length ? html`<div class="question"><label for="practice">Code in force</label>
            <select id="practice" @change=${(event) => { practice = event.target.value; remember('code', practice); draw(); }}>${home.codes.map((one) => html`<option value=${one.id} ?selected=${one.id === practice}>${one.name}</option>`)}</select></div>` : nothing}
          <ol class="levels-list">${home.levels.map((one) => html`<li>
            <div class="about"><h3>${one.number}. ${one.name}</h3><p>${one.learnt}</p>${best(one.number)}${error(`draw-${one.number}`)}</div>
            <div class="acts"><button id="draw-${one.number}" ?disabled=${busy} aria-label="Draw, level ${one.number}" @click=${() => go(level(one.number), false, `draw-${one.number}`)}>Draw</button>
              ${one.asks === false ? nothing : html`<button id="read-${one.number}" ?disabled=${busy} aria-label="Read, level ${one.number}" @click=${() => go(level(one.number), true, `draw-${one.number}`)}>Read</button>`}</div></li>`)}</ol></section>
        ${progress()}`}
      </main>`, el);
  }

  draw();
  book.lookHome();
  return {
    draw,
    /** Says that the code in the page's address names no exercise. @param {string} code @param {{wrong: string, help?: string}} seen */
    refuse(code, seen) { typed = code; refuse('code', seen); },
  };
}
