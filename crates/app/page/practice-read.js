// Reading: the isometric with its letters, and questions on it whose answers the program checks and explains.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { Viewer } from './practice-eye.js';

export const picture = {
  name: 'isometric', title: 'Isometric',
  mount(el, book) {
    render(html`<div class="read-view"></div>`, el);
    const viewer = new Viewer(/** @type {HTMLElement} */ (el.querySelector('.read-view')), { label: 'Isometric to read', views: book.views });
    const draw = () => { const { reader, exercise } = book.state; if (reader) viewer.show(reader.svg, `Isometric of ${exercise.title}, with letters`); };
    draw();
    book.lookQuestions();
    return { update(changed) { if (changed.has('exercise')) book.lookQuestions(); if (changed.has('reader')) draw(); }, close() { viewer.close(); } };
  },
};

export const questions = {
  name: 'questions', title: 'Questions',
  mount(el, book, { next }) {
    const set = (index, words) => book.set({ given: book.state.given.with(index, words) });
    async function check(event) {
      event.preventDefault();
      await book.answer();
      el.querySelector('h3')?.focus();
    }
    /** What the program said of an answer, as long as it is the one that was checked. */
    function said(index) {
      const { answers, given } = book.state, one = answers?.said[index];
      if (!one || answers.given[index] !== given[index]) return nothing;
      return html`<p class="verdict-of ${one.right ? 'right' : 'wrong-one'}" id="said-${index}"><strong>${one.right ? 'Right.' : `Not right: ${one.key}.`}</strong> ${one.why}</p>`;
    }
    function draw() {
      const { reader, given, answers, exercise } = book.state;
      if (!reader) { render(html`<p class="pad">Looking for the questions.</p>`, el); return; }
      if (!reader.questions.length) { render(html`<p class="pad">There are no questions on this one.</p>`, el); return; }
      const right = answers?.said.filter((one) => one.right).length;
      render(html`<form class="pad questions" @submit=${check} novalidate>
        ${answers ? html`<h3 tabindex="-1">${right} of ${answers.said.length} right</h3>` : nothing}
        ${reader.questions.map((one, i) => (one.options?.length
    ? html`<fieldset><legend><span class="number">${one.number}</span> ${one.words}</legend>${one.hint ? html`<p class="soft">${one.hint}</p>` : nothing}
          ${one.options.map((option) => html`<label class="tick"><input type="radio" name="q-${exercise.code}-${i}" value=${option} .checked=${given[i] === option} @change=${() => set(i, option)}> ${option}</label>`)}${said(i)}</fieldset>`
    : html`<div class="asked"><label for="q-${i}"><span class="number">${one.number}</span> ${one.words}</label>${one.hint ? html`<p class="soft" id="q-${i}-hint">${one.hint}</p>` : nothing}
          <input type="text" id="q-${i}" autocomplete="off" spellcheck="false" aria-describedby=${one.hint ? `q-${i}-hint` : nothing} .value=${given[i] ?? ''} @input=${(event) => set(i, event.target.value)}>${said(i)}</div>`))}
        <p class="row-of"><button type="submit" class="strong" id="check-answers">${answers ? 'Check them again' : 'Check my answers'}</button> <button type="button" id="another" @click=${next}>Another one to read</button></p></form>`, el);
    }
    draw();
    book.lookQuestions();
    return { update(changed) { if (['reader', 'given', 'answers', 'exercise'].some((one) => changed.has(one))) draw(); } };
  },
};
