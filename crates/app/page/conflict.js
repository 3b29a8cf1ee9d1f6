// Where this page and somebody else changed the same lines, both are shown and the user says which to keep. Nothing is
// overwritten before.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { merged, pieces } from './merge.js';

/** So many places are shown; more are counted. */
const SHOWN = 20;

/**
 * Watches for such lines, and asks.
 * @param {import('./desk.js').Desk} desk
 * @returns {() => void} to be called when `conflict` has changed
 */
export function conflict(desk) {
  /** @type {HTMLDialogElement|null} */ let dialog = null;
  let wrong = '';

  /** @param {{base: string, ours: string, theirs: string, version: number}} asked */
  async function keepMine(asked) {
    const text = merged(asked.base, asked.ours, asked.theirs, true);
    const seen = await desk.change({ text, base: asked.version });
    // Somebody changed those lines once more: the new question has taken this one's place.
    if (seen.conflict) return;
    if (seen.wrong) { wrong = `${seen.wrong} ${seen.help ?? ''}`; draw(asked); return; }
    desk.set({ conflict: null });
  }

  async function takeTheirs() {
    const seen = await desk.look();
    if (!seen.wrong) desk.set({ conflict: null });
  }

  function draw(asked) {
    const clashes = pieces(asked.base, asked.ours, asked.theirs).filter((one) => one.clash);
    const side = (head, lines) => html`<figure><figcaption>${head}</figcaption><pre tabindex="0" aria-label="${head}: words">${lines.join('') || '(taken out)'}</pre></figure>`;
    render(html`
      <h2 id="conflict-head">The same lines were changed elsewhere</h2>
      <p>Another tab or program changed them while they were changed here. Nothing of theirs is overwritten; yours is not in the file yet.
        What does not touch the same lines is kept of both.</p>
      <p class="bad" role="alert">${wrong}</p>
      ${clashes.slice(0, SHOWN).map((one) => html`<div class="both">${side('Mine', one.mine)}${side('Theirs', one.theirs)}</div>`)}
      ${clashes.length > SHOWN ? html`<p>${clashes.length - SHOWN} more such places.</p>` : nothing}
      <div class="row"><button id="keep-mine" @click=${() => keepMine(asked)}>Keep mine</button><button id="take-theirs" @click=${takeTheirs}>Take theirs</button></div>
      <p class="soft">Theirs stays in the history either way.</p>`, /** @type {HTMLElement} */ (dialog));
  }

  return function update() {
    const asked = desk.state.conflict;
    if (!asked) { dialog?.close(); return; }
    wrong = '';
    if (!dialog) {
      const from = /** @type {HTMLElement|null} */ (document.activeElement);
      dialog = document.createElement('dialog');
      dialog.className = 'conflict';
      dialog.setAttribute('aria-labelledby', 'conflict-head');
      // It asks until it is answered.
      dialog.addEventListener('cancel', (event) => event.preventDefault());
      dialog.addEventListener('close', () => { dialog?.remove(); dialog = null; from?.focus(); });
      document.body.append(dialog);
    }
    draw(asked);
    if (!dialog.open) dialog.showModal();
  };
}
