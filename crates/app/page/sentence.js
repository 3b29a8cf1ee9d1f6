// The line at the foot: what is chosen, as the words of the job; what may be done with it; and where words are typed that do what the
// hand does.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { lineOf, parted } from './desk.js';
import { hand } from './plan.js';

/** Millimetres that words typed on the line may be off: nothing is pointed at. */
const WITHIN = 60;

export function sentence(desk, { show }) {
  let shown = '';

  async function send(event) {
    event.preventDefault();
    const input = /** @type {HTMLInputElement} */ (document.querySelector('#say'));
    const words = input.value;
    const { chosen } = desk.state;
    const walking = hand?.tool === 'pipe' && hand.run;
    const seen = walking || !chosen || input.dataset.line !== String(chosen.line)
      ? await (hand ?? { say: (text, _within) => desk.edit({ do: 'add', words: text }) }).say(words, WITHIN)
      : await desk.edit({ do: 'say', line: chosen.line, words });
    if (seen && !seen.wrong && (walking || !chosen)) input.value = '';
    if (walking) /** @type {HTMLElement|null} */ (document.querySelector('.plan svg.sheet'))?.focus();
  }

  /** Puts words on the line, to be finished and sent. */
  function offer(words) {
    const input = /** @type {HTMLInputElement} */ (document.querySelector('#say'));
    input.value = words;
    input.focus();
    input.setSelectionRange(words.length, words.length);
  }

  function fixtureActs(tag, line) {
    const { plan } = desk.state;
    const here = plan.fixtures.find((one) => one.tag === tag);
    const others = plan.levels.filter((_, at) => at !== here?.level);
    return html`<button @click=${() => desk.edit({ do: 'turn', tag })}>Turn</button>
      <button @click=${() => desk.edit({ do: 'mirror', tag })}>Mirror</button>
      <button ?disabled=${!hand} @click=${() => hand?.take('copy', tag)}>Copy</button>
      ${others.length ? html`<label>Repeat on <select @change=${(event) => { const levels = event.target.value === '*' ? others.map((one) => one.name) : [event.target.value]; if (event.target.value) desk.edit({ do: 'repeat', tags: [tag], levels }); event.target.value = ''; }}>
        <option value="">which level?</option>${others.map((one) => html`<option value=${one.name}>${one.name}</option>`)}${others.length > 1 ? html`<option value="*">all others</option>` : nothing}</select></label>` : nothing}
      <button @click=${() => { desk.choose(null); desk.edit({ do: 'delete', line }); }}>Delete</button>`;
  }

  function pipeActs(id, line) {
    const pipe = desk.pipe(id);
    if (!pipe) return nothing;
    const run = desk.state.plan.runs.find((one) => one.name === pipe.run);
    const field = (word, words, present) => html`<form class="one" @submit=${(event) => { event.preventDefault(); desk.edit({ do: word, pipe: id, words: event.target.elements[0].value }); }}>
      <label>${words} <input size="7" .value=${present} name=${word}></label><button>Set</button></form>`;
    return html`${field('length', 'Length', '')}${field('size', 'Size', pipe.size ?? '')}
      ${run?.open ? html`<button @click=${() => hand?.take('pipe', run.system, run.name)}>Go on</button>` : nothing}
      <button @click=${() => split(id)}>Split</button>
      <label>Put in <select @change=${(event) => { if (event.target.value) device(id, event.target.value); event.target.value = ''; }}><option value="">what?</option>
        ${['cleanout', 'ball-valve', 'gate-valve', 'check-valve', 'union', 'meter', 'backflow-preventer', 'pressure-reducing-valve', 'hammer-arrestor', 'expansion-tank', 'backwater-valve', 'gas-cock'].map((one) => html`<option>${one}</option>`)}</select></label>
      <button @click=${() => desk.edit({ do: 'delete', line })}>Delete move</button>
      <button @click=${() => { desk.choose(null); desk.edit({ do: 'delete-run', run: pipe.run }); }}>Delete run</button>
      <button @click=${() => show('sizes')}>Why this size</button>`;
  }

  const middle = (id) => {
    const { plan } = desk.state;
    const pipe = desk.pipe(id);
    const [a, b] = [plan.nodes[pipe.from].at, plan.nodes[pipe.to].at];
    return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  };
  const split = (id) => desk.edit({ do: 'split', pipe: id, at: middle(id) });
  const device = (id, words) => desk.edit({ do: 'device', pipe: id, at: middle(id), words });

  function wallActs(chosen) {
    return html`<form class="one" @submit=${(event) => { event.preventDefault(); desk.edit({ do: 'side', line: chosen.line, side: chosen.side, length: event.target.elements[0].value }); }}>
      <label>This stretch <input size="8" name="side"></label><button>Set</button></form>
      <button @click=${() => { desk.choose(null); desk.edit({ do: 'delete', line: chosen.line }); }}>Delete</button>`;
  }

  function walkActs() {
    const { plan, level } = desk.state;
    const here = plan?.levels[level];
    const above = hand && ['vent'].includes(hand.kind);
    return html`
      ${above ? html`<button id="through-roof" @click=${() => hand?.say('up through roof', WITHIN)}>Up through roof</button>` : nothing}
      ${here ? html`<button @click=${() => offer(`up to ${here.name} floor +`)}>Up to …</button>
      <button @click=${() => offer(`down to ${here.name} floor -`)}>Down to …</button>
      ${here.ceiling !== null ? html`<button @click=${() => offer(`up to ${here.name} ceiling +`)}>Above the ceiling …</button>` : nothing}` : nothing}
      <button @click=${() => offer('size ')}>Size …</button>
      <button id="catching" aria-pressed=${String(Boolean(hand?.catching))} @click=${() => { if (hand) { hand.catching = !hand.catching; hand.changed(); } }}>Catch and go on</button>
      <button id="cap" @click=${() => hand?.say('cap', WITHIN)}>Cap</button>
      <button @click=${() => hand?.take('choose')}>Put down</button>`;
  }

  /** Draws the line; called whenever something has changed. */
  return function update(el, changed) {
    const { chosen, text, told, readOnly, plan, wrong } = desk.state;
    if (readOnly) return;
    const walking = hand?.tool === 'pipe' && hand.run;
    const words = chosen && !walking ? parted(lineOf(text, chosen.line))[0] : '';
    const placeholder = walking ? `${hand?.run}: a length (6' 3-1/2"), or a step: up 2', end LAV1 …`
      : hand?.tool === 'pipe' ? `${hand.kind}: press where it begins` : 'Say it in words: fixture LAV1 lavatory main 3\',6\' faces south';
    render(html`<form @submit=${send}>
        <label class="soft" for="say">${walking ? 'Walk' : chosen ? 'It says' : 'Say'}</label>
        <input id="say" class="say" autocomplete="off" autocapitalize="off" spellcheck="false" enterkeyhint="send" placeholder=${placeholder}>
        <button id="send">${chosen && !walking ? 'Change' : 'Do it'}</button>
      </form>
      ${walking ? html`<div class="acts">${walkActs()}</div>` : chosen?.kind === 'fixture' && plan ? html`<div class="acts">${fixtureActs(chosen.id, chosen.line)}</div>`
        : chosen?.kind === 'pipe' && plan ? html`<div class="acts">${pipeActs(chosen.id, chosen.line)}</div>`
          : chosen?.kind === 'wall' ? html`<div class="acts">${wallActs(chosen)}</div>` : nothing}
      <p class="told" role="status">${wrong ? nothing : told?.said ? html`<code>${told.said.trim().split('\n').join(' · ')}</code>` : told?.why ?? nothing}</p>`, el);
    const input = /** @type {HTMLInputElement} */ (el.querySelector('#say'));
    const now = chosen && !walking ? `${chosen.line} ${words}` : walking ? 'walking' : '';
    if (now !== shown && (document.activeElement !== input || changed.has('chosen'))) {
      input.value = words;
      shown = now;
    }
    input.dataset.line = chosen && !walking ? String(chosen.line) : '';
  };
}
