// The marks: points by heading, and each fault with its number on the drawing, what is wrong, and how it is put right.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { NAMES } from './turn.js';

export const name = 'marks', title = 'Marks';

/** Points to a tenth, as a person writes them. */
export const points = (n) => String(Math.round(n * 10) / 10);
const large = (words) => words.charAt(0).toUpperCase() + words.slice(1);

export function mount(el, book, { show }) {
  /** Shows a fault on the drawing: beside the list, or in its place where there is room for one leaf. */
  function choose(fault) {
    const same = book.state.fault === fault;
    book.set({ fault: same ? -1 : fault });
    if (!same) show('draw', { focus: false });
  }
  async function mark() { await book.mark(); el.querySelector('h3')?.focus(); }

  function draw() {
    const { marks, fault, stale, marking, ink, corner, ownRoute } = book.state;
    const empty = !ink?.strokes.length && !ink?.letters.length;
    const again = html`<button class="strong" id="mark-here" ?disabled=${marking || empty} @click=${mark}>${marking ? 'Marking' : marks ? 'Mark it again' : 'Mark it'}</button>`;
    if (!marks) {
      render(html`<div class="pad"><p>Nothing has been marked yet. Any corner, any place on the paper, any scale that is the same throughout, and any order will do; a hand may wobble.</p>
        <p>${again}</p>${empty ? html`<p class="soft">There is nothing on the paper.</p>` : nothing}</div>`, el);
      return;
    }
    render(html`<div class="pad marks-list">
      <h3 tabindex="-1">${points(marks.got)} of ${points(marks.of)} points</h3>
      ${stale ? html`<p class="stale">The drawing has changed since it was marked.</p>` : nothing}
      <p>${marks.corner ? html`Read as seen from the ${NAMES[marks.corner] ?? marks.corner}${marks.corner === corner ? '' : html`, though you said the ${NAMES[corner] ?? corner}`}.` : ownRoute ? 'Marked as a route of your own.' : 'It fits the exercise from none of the four corners.'}</p>
      ${(marks.notes ?? []).map((words) => html`<p class="soft">${words}</p>`)}
      <p class="row-of">${again} <button id="show-key" @click=${() => show('key')}>Show the key</button></p>
      <table><caption class="off">Points by heading</caption><thead><tr><th scope="col">Heading</th><th scope="col" class="n">Got</th><th scope="col" class="n">Of</th></tr></thead>
        <tbody>${marks.headings.map((one) => html`<tr class=${one.got < one.of ? 'lost' : ''}><th scope="row">${large(one.name)}</th><td class="n">${points(one.got)}</td><td class="n">${points(one.of)}</td></tr>`)}</tbody></table>
      ${marks.faults.length ? html`<h4 id="faults-head">What is wrong</h4>
        <p class="soft">The numbers stand on the drawing. Choose one to see its place.</p>
        <ol class="faults" aria-labelledby="faults-head">${marks.faults.map((one, i) => html`<li><button id="fault-${i + 1}" aria-pressed=${i === fault} @click=${() => choose(i)}>
          <span class="number">${i + 1}</span><span class="words">${one.words}<span class="soft">${large(one.heading)}, ${points(one.points)} ${one.points === 1 ? 'point' : 'points'} lost${one.at ? '' : '; about the whole drawing'}</span></span></button></li>`)}</ol>`
    : html`<p>Nothing is wrong with it.</p>`}
    </div>`, el);
  }
  draw();
  return { update(changed) { if (['marks', 'fault', 'stale', 'marking', 'ink', 'corner', 'exercise'].some((one) => changed.has(one))) draw(); } };
}
