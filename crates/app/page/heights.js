// The heights still open, asked for one by one: it is so, or another height in the trade's words.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { lineOf, parted } from './desk.js';

let at = 0;

/** The height told in a line: from its surface on. */
export function heightIn(words) {
  const found = words.match(/\b((?:invert |top )?(?:[A-Za-z][\w-]* (?:floor|ceiling|joists)|roof|datum)(?:\s*[+-][^\s].*?)?)(?=\s+unverified\b|$)/);
  return found ? found[1].trim() : '';
}

export function heights(el, desk) {
  const { doubts, text, readOnly } = desk.state;
  const all = doubts.filter((one) => one.why !== 'assumed' || !one.line ? one.why !== 'assumed' : false);
  const assumed = doubts.length - all.length;
  if (!all.length || readOnly) {
    render(assumed && !readOnly ? html`<p class="row soft">No height is open; ${assumed} taken as usual (listed under Answer).</p>` : nothing, el);
    return;
  }
  at = Math.min(at, all.length - 1);
  const one = all[at];
  const words = parted(lineOf(text, one.line))[0];
  const height = heightIn(words);
  const choose = () => desk.choose({ kind: 'line', id: String(one.line), line: one.line });
  render(html`<form class="row" aria-label="Heights still open" @submit=${(event) => {
      event.preventDefault();
      const said = /** @type {HTMLInputElement} */ (el.querySelector('#height')).value;
      desk.edit({ do: 'height', line: one.line, words: said });
    }}>
    <strong>Height ${at + 1} of ${all.length}</strong> <span>${one.text}</span>
    ${height ? html`<input id="height" aria-label="Its height, in words" .value=${height}>
      <button>Set</button>
      ${/\bunverified\b/.test(words) ? html`<button type="button" id="known" @click=${() => desk.edit({ do: 'known', line: one.line })}>It is so</button>` : nothing}` : nothing}
    <button type="button" @click=${choose}>Where?</button>
    ${all.length > 1 ? html`<button type="button" @click=${() => { at = (at + 1) % all.length; heights(el, desk); }}>Next</button>` : nothing}
  </form>`, el);
}
