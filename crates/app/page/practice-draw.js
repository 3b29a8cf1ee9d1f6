// The drawing: tools in words, isometric paper, letters typed where they stand, faults told at their place.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { CORNERS, NAMES } from './turn.js';
import { Paper } from './practice-paper.js';

export const name = 'draw', title = 'Drawing';

/** Heights of letters, mm, as they are called. */
const HEIGHTS = [[2.4, '3/32 in, 2.4 mm'], [3.2, '1/8 in, 3.2 mm'], [4.8, '3/16 in, 4.8 mm']];
const KEYS_HELP = 'By the keys, with the paper in focus: Up and Down go upright, Right and Left along one level axis, with Shift along the other; '
  + 'Page Up, Page Down, Home and End are the four level ways too. With Ctrl five squares at once. Enter or Space puts the pencil down and up. '
  + 'P pencil, L letters, E eraser, F free hand, H half squares, D dashes. Escape lifts the pencil. Plus, minus and 0 look nearer, farther and at the whole.';

export function mount(el, book, { show }) {
  /** Letters that are typed: where, and which they replace. @type {{at: [number, number], index: number, text: string}|null} */
  let editing = null;
  let finger = false;
  const state = () => book.state;
  const empty = () => !state().ink.strokes.length && !state().ink.letters.length;
  const hand = () => book.hand;
  const paperEl = () => /** @type {HTMLElement} */ (el.querySelector('.grid-paper'));

  // ---------------------------------------------------------------- letters
  function ask(at, index) {
    editing = { at, index, text: book.ink.now.letters[index]?.text ?? '' };
    draw();
    put();
    const form = /** @type {HTMLElement} */ (el.querySelector('.there'));
    const input = /** @type {HTMLInputElement} */ (form.querySelector('input'));
    input.value = editing.text;
    // A finger picks a word as a rule; the keyboard on the screen comes when the field is tapped.
    if (finger) form.focus({ preventScroll: true }); else { input.focus({ preventScroll: true }); input.select(); }
  }
  function put() {
    const there = /** @type {HTMLElement|null} */ (el.querySelector('.there'));
    if (!there || !editing) return;
    const [x, y] = paper.eye.px(editing.at), { w, h } = paper.eye.box;
    // On a narrow paper it lies along the foot, where it covers least.
    const low = w < 480;
    there.classList.toggle('low', low);
    there.style.left = low ? '' : `${Math.max(4, Math.min(x + 14, w - there.offsetWidth - 4))}px`;
    there.style.top = low ? '' : `${Math.max(4, Math.min(y + 14, h - there.offsetHeight - 4))}px`;
  }
  /** Sets what is typed, or a word. @param {string} [word] */
  function set(word) {
    const now = editing, form = el.querySelector('.there');
    if (!now || !form) return;
    const text = (word ?? /** @type {HTMLInputElement} */ (form.querySelector('input')).value).trim().slice(0, 40);
    const inside = form.contains(document.activeElement);
    editing = null;
    draw();
    if (inside) paperEl().focus({ preventScroll: true });
    book.ink.letter(now.index, { at: now.at, text, height: book.ink.now.letters[now.index]?.height ?? hand()?.height ?? 3.2 });
  }
  function leave() { editing = null; draw(); paperEl().focus({ preventScroll: true }); }

  // ---------------------------------------------------------------- tools
  function take(tool) { if (editing) set(); hand()?.take(tool); draw(); }
  function turn(part) { const one = hand(); if (one) { one.leave(); Object.assign(one, part); } draw(); }
  function key(event) {
    if (event.target !== paperEl() || event.ctrlKey || event.metaKey || event.altKey) return;
    const does = {
      p: () => take('pencil'), l: () => take('letters'), e: () => take('eraser'),
      f: () => turn({ free: !hand()?.free }), h: () => turn({ halves: !hand()?.halves }), d: () => turn({ dashes: !hand()?.dashes }),
    }[event.key.toLowerCase()];
    if (does) { event.preventDefault(); does(); }
  }
  function choose(fault) {
    book.set({ fault });
  }
  /** The place of the chosen fault comes in sight, clear of the words on it. */
  function bring() {
    const at = state().marks?.faults[state().fault]?.at;
    if (at) paper.eye.bring(at, 60, /** @type {HTMLElement|null} */ (el.querySelector('.telling'))?.offsetHeight ?? 0);
  }
  async function mark() {
    await book.mark();
    if (state().marks) show('marks');
  }
  function file() {
    const { code } = state().exercise;
    const link = document.createElement('a');
    link.href = URL.createObjectURL(new Blob([JSON.stringify(book.drawing)], { type: 'application/json' }));
    link.download = `${code}.json`;
    link.click();
    URL.revokeObjectURL(link.href);
  }

  const press = (id, words, on, does) => html`<button id=${id} aria-pressed=${on} @click=${does}>${words}</button>`;

  function options() {
    const one = hand();
    if (!one) return nothing;
    if (one.tool === 'pencil') {
      return html`${press('free', 'Free hand', one.free, () => turn({ free: !one.free }))}
        ${one.free ? nothing : press('halves', 'Half squares', one.halves, () => turn({ halves: !one.halves }))}
        ${press('dashes', 'Dashes', one.dashes, () => turn({ dashes: !one.dashes }))}`;
    }
    if (one.tool === 'letters') {
      return html`<label>Height <select id="height" @change=${(event) => { one.height = Number(event.target.value); }}>
        ${HEIGHTS.map(([mm, words]) => html`<option value=${mm} ?selected=${one.height === mm}>${words}</option>`)}</select></label>`;
    }
    return html`${press('whole-strokes', 'Whole strokes', one.whole, () => turn({ whole: true }))}
      ${press('part-crossed', 'Part crossed', !one.whole, () => turn({ whole: false }))}
      <button id="clear" class="end" ?disabled=${empty()} @click=${() => { one.leave(); book.ink.clear(); }}>Clear all</button>`;
  }

  function telling() {
    const { marks, fault, stale } = state(), faults = marks?.faults ?? [], one = faults[fault];
    if (!one) return nothing;
    const go = (by) => choose((fault + by + faults.length) % faults.length);
    return html`<div class="telling" role="group" aria-label="Fault ${fault + 1}">
      <p><strong>${fault + 1}</strong> ${one.words}${one.at ? '' : ' It is about the whole drawing.'}${stale ? html` <em>The drawing has changed since.</em>` : nothing}</p>
      <div class="acts">${faults.length > 1 ? html`<button @click=${() => go(-1)}>Back</button><button @click=${() => go(1)}>Next</button>` : nothing}
      <button @click=${() => show('marks')}>All marks</button><button @click=${() => choose(-1)}>Put away</button></div></div>`;
  }

  function draw() {
    const one = hand(), { exercise, corner, ownRoute, learner, marking } = state();
    if (!exercise || !one) return;
    render(html`
      <div class="row tools">
        <div class="kit" role="group" aria-label="Tool">
          ${[['pencil', 'Pencil'], ['letters', 'Letters'], ['eraser', 'Eraser']].map(([tool, words]) => press(tool, words, one.tool === tool, () => take(tool)))}
        </div>
        <button id="mark" class="strong" ?disabled=${empty() || marking} @click=${mark}>${marking ? 'Marking' : 'Mark it'}</button>
      </div>
      <div class="row more-tools">${options()}</div>
      <details class="said"><summary>Drawn from the ${NAMES[corner] ?? corner}${ownRoute ? ', own route' : ''}</summary>
        <div class="row" role="group" aria-label="The corner you draw from"><span>You draw from the</span>
          ${CORNERS.map((c) => html`<button id="from-${c}" aria-pressed=${corner === c} aria-label=${NAMES[c]} @click=${() => book.say({ corner: c })}>${c.toUpperCase()}</button>`)}
          ${corner === exercise.corner ? nothing : html`<span class="soft">The exercise asks for the ${NAMES[exercise.corner]}; any corner is marked.</span>`}</div>
        <div class="row"><label class="tick"><input type="checkbox" id="own-route" .checked=${ownRoute} @change=${(event) => book.say({ ownRoute: event.target.checked })}> Own route</label>
          <span class="soft">Marked by the code and by every fixture being reached, not by the key.</span></div>
        <div class="row"><label for="learner">Your name</label> <input type="text" id="learner" autocomplete="off" .value=${learner} @change=${(event) => book.say({ learner: event.target.value.trim() })}>
          <button id="save-file" @click=${file}>Save as a file</button> <span class="soft">To hand in. It is kept here in any case.</span></div>
      </details>
      <p class="status" id="draw-status" role="status" aria-live=${one.cursor ? 'polite' : 'off'}></p>
      <div class="paper grid-paper ${one.tool}" id="paper" tabindex="0" role="application" aria-label="Isometric paper" aria-describedby="paper-keys draw-status" @keydown=${key}
        @pointerdown=${(event) => { finger = event.pointerType === 'touch'; }}>
        ${editing ? html`<form class="there" tabindex="-1" @submit=${(event) => { event.preventDefault(); set(); }}
          @pointerdown=${(event) => { if (event.target.closest('button')) event.preventDefault(); }}
          @keydown=${(event) => { if (event.key === 'Escape') { event.stopPropagation(); leave(); } }}
          @focusout=${(event) => { if (editing && !event.currentTarget.contains(event.relatedTarget) && document.hasFocus()) set(); }}>
          <label for="letters-there">Letters</label>
          <input id="letters-there" type="text" maxlength="40" size="8" autocomplete="off" autocapitalize="characters" spellcheck="false">
          <button type="submit">Set</button>
          ${editing.index >= 0 ? html`<button type="button" @click=${() => set('')}>Take away</button>` : nothing}
          <div class="words-at-hand" role="group" aria-label="Usual letters">${(exercise.letters ?? []).map((word) => html`<button type="button" @click=${() => set(word)}>${word}</button>`)}</div>
        </form>` : nothing}
        ${telling()}
        <div class="scale"><button id="nearer" aria-label="+ nearer" @click=${() => paper.eye.zoom(1.25)}>+</button><button id="farther" aria-label="&minus; farther" @click=${() => paper.eye.zoom(0.8)}>&minus;</button><button id="whole" @click=${() => paper.eye.fit()}>Whole</button>
          <button id="move-paper" aria-pressed=${paper?.moving ?? false} @click=${() => { paper.moving = !paper.moving; hand()?.leave(); draw(); }}>Move</button></div>
      </div>
      <details class="said keys"><summary>With the keys</summary><p class="pad" id="paper-keys">${KEYS_HELP}</p></details>`, el);
    said();
  }

  /** What the hand is doing, without laying the rest anew. */
  function said() {
    const status = el.querySelector('.status');
    if (status) status.textContent = paper?.moving ? 'Pull the paper to where you want it. Press Move again to draw.' : hand()?.words() ?? '';
    const one = hand();
    if (status && one) status.setAttribute('aria-live', one.cursor ? 'polite' : 'off');
  }

  /** @type {Paper} */ let paper = /** @type {any} */ (null);
  draw();
  paper = new Paper(paperEl(), book, { moved: put, chosen: choose });
  book.ask_letters = ask;
  said();
  // Where there is room for one leaf, the fault was chosen before the drawing came.
  requestAnimationFrame(() => { if (el.isConnected) bring(); });

  return {
    update(changed) {
      if (changed.has('exercise')) { editing = null; draw(); }
      if (changed.has('ink') || changed.has('exercise')) paper.draw(); else if (changed.has('hand')) paper.follow();
      said();
      if (changed.has('marks') || changed.has('fault')) {
        paper.numbers();
      }
      if (['ink', 'marks', 'fault', 'stale', 'corner', 'ownRoute', 'marking'].some((one) => changed.has(one))) draw();
      if (changed.has('fault')) bring();
    },
    close() { editing = null; paper.close(); book.ask_letters = () => {}; },
  };
}
