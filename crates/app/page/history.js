// What was done to the job, the last first; any of it can be looked at, and gone back to as one more change.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';

/**
 * A dialog with the job's history, shown until it is closed.
 * @param {import('./desk.js').Desk} desk
 */
export async function history(desk) {
  const dialog = document.createElement('dialog');
  dialog.className = 'history';
  dialog.setAttribute('aria-labelledby', 'history-head');
  const from = /** @type {HTMLElement|null} */ (document.activeElement);
  dialog.addEventListener('close', () => { dialog.remove(); from?.focus(); });
  document.body.append(dialog);
  /** @type {any} */ let past = null;
  /** @type {{version: number, text: string, wrong?: string}|null} */ let seen = null;
  let wrong = '';

  async function look(version) {
    const answer = await desk.ask(desk.at(`/history/${version}`));
    seen = { version, ...answer };
    draw();
    dialog.querySelector('pre')?.scrollIntoView({ block: 'nearest' });
  }

  async function take() {
    const answer = await desk.change({ text: seen?.text });
    if (answer.wrong) { wrong = `${answer.wrong} ${answer.help ?? ''}`; draw(); } else dialog.close();
  }

  function then(one) {
    const open = seen && seen.version === one.version ? seen : null;
    const now = one.version === desk.state.version;
    const at = new Date(one.time * 1000);
    return html`<li>
      <button class="then" aria-pressed=${open !== null} @click=${() => look(one.version)}>
        <time datetime=${at.toISOString()}>${at.toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' })}</time>
        <span>${one.what || 'changed'}${now ? html` <strong>(as it is now)</strong>` : nothing}</span>
      </button>
      ${open ? html`<div class="version">
        ${open.wrong ? html`<p class="bad">${open.wrong}</p>` : html`
          <pre tabindex="0" aria-label="The words of that version">${open.text}</pre>
          ${desk.state.readOnly || open.text === desk.state.text ? nothing : html`<p><button @click=${take}>Go back to this</button> <span class="soft">as one more change: nothing after it is lost.</span></p>`}`}
      </div>` : nothing}</li>`;
  }

  function draw() {
    render(html`
      <div class="dialog-head"><h2 id="history-head">History</h2><button @click=${() => dialog.close()}>Close</button></div>
      <p class="bad" role="alert">${wrong}</p>
      ${past === null ? html`<p class="soft">Looking it up.</p>`
    : past.length ? html`<ol class="past">${past.map(then)}</ol>${past.length >= 500 ? html`<p class="soft">The last 500 changes; earlier ones are kept in the file.</p>` : nothing}`
      : html`<p>Nothing has been changed since the job was opened for the first time.</p>`}`, dialog);
  }

  draw();
  dialog.showModal();
  const answer = await desk.ask(desk.at('/history'));
  if (answer.wrong) { wrong = answer.wrong; past = []; } else past = answer;
  draw();
}
