// The exercise: what is to be drawn, from where, how large, and the plan it is drawn from.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { NAMES } from './turn.js';
import { Viewer } from './practice-eye.js';

export const name = 'exercise', title = 'Exercise';

/** How each thing is told by pencil and letters: as the marking reads it. */
const TOLD = [
  ['Pipe', 'a line, in one stroke or several'],
  ['Vent', 'a dashed line, or one lettered V; so is a hidden edge dashed'],
  ['Flow', 'an arrow: two short strokes that meet on the line, drawn free hand'],
  ['Trap', 'a small hook or loop at its place, or the letter T'],
  ['Fixture, cleanout, vent through the roof', 'letters beside it: WC, LAV, CO, VTR'],
  ['Hot and cold', 'the letters H and C on their lines'],
];

export function mount(el, book) {
  /** @type {Viewer|null} */ let viewer = null;
  /** Which storey's plan is seen. */ let storey = 0;
  function draw() {
    const { exercise } = book.state;
    if (!exercise) return;
    const { plans } = exercise;
    storey = Math.min(storey, plans.length - 1);
    render(html`
      <div class="brief"><p class="what">${exercise.brief}</p>
        <dl><div><dt>From the</dt><dd>${NAMES[exercise.corner] ?? exercise.corner}</dd></div><div><dt>Scale</dt><dd>${exercise.scale}</dd></div>
          <div><dt>Squares along an axis</dt><dd>${Math.round(exercise.pitch * 100) / 100} mm</dd></div><div><dt>Code of the exercise</dt><dd><code>${exercise.code}</code></dd></div></dl></div>
      ${plans.length > 1 ? html`<div class="row" role="group" aria-label="Plans">${plans.map((_, i) => html`<button id="plan-${i + 1}" aria-pressed=${i === storey} @click=${() => { storey = i; draw(); }}>Plan ${i + 1} of ${plans.length}</button>`)}</div>` : nothing}
      <div class="plan-view"></div>
      <details class="said"><summary>How it is told with a pencil</summary>
        <dl class="told">${TOLD.map(([what, how]) => html`<div><dt>${what}</dt><dd>${how}</dd></div>`)}</dl></details>`, el);
    viewer ??= new Viewer(/** @type {HTMLElement} */ (el.querySelector('.plan-view')), { label: 'Plan', views: book.views });
    viewer.show(plans[storey] ?? '', `Plan ${plans.length > 1 ? `${storey + 1} of ${plans.length} ` : ''}of ${exercise.title}. ${exercise.brief}`);
  }
  draw();
  return { update(changed) { if (changed.has('exercise')) { storey = 0; draw(); } }, close() { viewer?.close(); } };
}
