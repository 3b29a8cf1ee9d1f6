// What the program shows of the answer: the key after marking, and the steps in which it is drawn for one who is stuck.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { NAMES } from './turn.js';
import { Viewer } from './practice-eye.js';

export const steps = {
  name: 'steps', title: 'Steps',
  mount(el, book) {
    /** @type {Viewer|null} */ let viewer = null;
    const go = (by) => { const { steps: all, step } = book.state; if (all && step + by >= 0 && step + by < all.length) book.set({ step: step + by }); };
    function key(event) {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const by = { ArrowLeft: -1, ArrowRight: 1, PageUp: -1, PageDown: 1 }[event.key];
      const to = { Home: -Infinity, End: Infinity }[event.key];
      if (by) go(by); else if (to) book.set({ step: to < 0 ? 0 : (book.state.steps?.length ?? 1) - 1 }); else return;
      event.preventDefault();
    }
    function draw() {
      const { steps: all, step, corner } = book.state, one = all?.[step];
      render(html`
        <div class="step-said" @keydown=${key}>
          <div class="row"><button id="step-back" ?disabled=${!one || step === 0} @click=${() => go(-1)}>Back</button>
            <button id="step-on" class="strong" ?disabled=${!one || step === all.length - 1} @click=${() => go(1)}>Next step</button>
            <span class="soft">${one ? `${step + 1} of ${all.length}, from the ${NAMES[corner] ?? corner}` : ''}</span></div>
          <div class="pad" role="status">${one ? html`<h3>${one.title}</h3><p>${one.sentence}</p>` : html`<p>Looking for the steps.</p>`}</div>
        </div>
        <div class="steps-view" @keydown=${key}></div>
        ${one ? html`<p class="row soft by-keys">Left and Right go from step to step.</p>` : nothing}`, el);
      viewer ??= new Viewer(/** @type {HTMLElement} */ (el.querySelector('.steps-view')), { label: 'The drawing so far', arrows: false, views: book.views });
      if (one) viewer.show(one.svg, `${one.title}. ${one.sentence}`);
    }
    draw();
    book.lookSteps();
    return {
      update(changed) {
        if (changed.has('corner') || changed.has('exercise')) book.lookSteps();
        if (['steps', 'step', 'corner'].some((one) => changed.has(one))) draw();
      },
      close() { viewer?.close(); },
    };
  },
};

export const key = {
  name: 'key', title: 'Key',
  mount(el, book, { show }) {
    /** @type {Viewer|null} */ let viewer = null;
    function draw() {
      const { key: svg } = book.state;
      // Until it is marked there is nothing to see, whatever was seen of another exercise.
      if (!svg) {
        viewer?.close();
        viewer = null;
        render(html`<div class="pad"><p>The key is shown when your drawing has been marked.</p><p><button @click=${() => show('draw')}>To the drawing</button></p></div>`, el);
        return;
      }
      render(html`<p class="row soft">One right answer. Yours may lie elsewhere on the paper, be larger, or be seen from another corner.</p><div class="key-view"></div>`, el);
      viewer ??= new Viewer(/** @type {HTMLElement} */ (el.querySelector('.key-view')), { label: 'The key', views: book.views });
      viewer.show(svg, `The key of ${book.state.exercise.title}`);
    }
    draw();
    return { update(changed) { if (changed.has('key') || changed.has('exercise')) draw(); }, close() { viewer?.close(); } };
  },
};
