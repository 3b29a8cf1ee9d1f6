// The first page: jobs lately opened, those in this folder, examples, and a new job from a few questions.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';

/** @typedef {{name: string, floor: string, ceiling: string}} Level */

/** Answers that stand there until they are changed, by units. */
const USUAL = {
  'ft-in': { floor: "0'", ceiling: "8'", sewer: "4'6\"", pressure: '55 psi', above: "9'" },
  in: { floor: '0', ceiling: '96', sewer: '54', pressure: '55 psi', above: '108' },
  mm: { floor: '0', ceiling: '2400', sewer: '1400', pressure: '380 kPa', above: '2700' },
  m: { floor: '0', ceiling: '2.4', sewer: '1.4', pressure: '380 kPa', above: '2.7' },
};
const UNITS = { 'ft-in': 'feet and inches', in: 'inches', mm: 'millimetres', m: 'metres' };

async function ask(path, body) {
  try {
    const answer = await fetch(path, body === undefined ? {} : { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) });
    const said = (answer.headers.get('content-type') ?? '').startsWith('application/json') ? await answer.json() : { wrong: await answer.text() };
    return answer.ok ? said : { ...said, wrong: said.wrong || 'that was refused', status: answer.status };
  } catch {
    return { wrong: 'the program does not answer: is it still running?' };
  }
}

/**
 * The question that a refusal is about, as the id of its field: by the word it quotes and by what it misses there.
 * @param {string} wrong
 * @param {{units: string, code: string, levels: Level[], sewer: string, pressure: string}} asked
 */
export function questionOf(wrong, asked) {
  const quoted = [...wrong.matchAll(/`([^`]+)`/g)].map((match) => match[1]);
  const has = (answer) => answer && quoted.some((word) => answer.includes(word));
  if (/pressure/.test(wrong) || has(asked.pressure)) return 'pressure';
  /** @type {(keyof Level)[]} */
  const fields = /above the floor/.test(wrong) ? ['ceiling', 'floor', 'name'] : /the level|a name/.test(wrong) ? ['name', 'floor', 'ceiling'] : ['floor', 'ceiling', 'name'];
  for (const field of fields) {
    // What is told twice is wrong where it is told last.
    const at = asked.levels.findLastIndex((level) => has(level[field]));
    if (at >= 0) return `level-${at}-${field}`;
  }
  if (has(asked.sewer)) return 'sewer';
  if (/\bcode\b/.test(wrong)) return 'code';
  if (/\bunits\b/.test(wrong)) return 'units';
  return 'begin';
}

/** What can be told wrong without asking the program. @returns {[string, string]|null} id of a field, and words */
function lacking({ name, levels }) {
  if (!name.trim()) return ['name', 'Give the job a name: its file is called by it.'];
  for (const [at, level] of levels.entries()) {
    if (!/^\p{L}[\p{L}\p{N}_-]*$/u.test(level.name.trim())) return [`level-${at}-name`, 'One word that begins with a letter, such as main or floor-2.'];
    if (!level.floor.trim()) return [`level-${at}-floor`, 'Say how high its finished floor lies; the lowest may be 0.'];
  }
  return null;
}

/** @param {HTMLElement} el */
export async function home(el) {
  /** @type {any} */ let at = null;
  const asked = { name: '', units: 'ft-in', code: '', levels: [{ name: 'main', floor: USUAL['ft-in'].floor, ceiling: USUAL['ft-in'].ceiling }], sewer: '', pressure: '' };
  /** Words beside a question, by the id of its field. @type {{at: string, words: string}} */
  let wrong = { at: '', words: '' };
  let busy = false;

  async function go(path, body, id) {
    if (busy) return;
    busy = true;
    wrong = { at: '', words: '' };
    draw();
    const said = await ask(path, body);
    if (said.job) { location.href = `/job/${encodeURIComponent(said.job)}`; return; }
    busy = false;
    const words = `${said.wrong ?? 'that did not work'} ${said.help ?? ''}`.trim();
    refuse(id ?? questionOf(words, asked), words);
  }

  function refuse(at, words) {
    wrong = { at, words };
    draw();
    document.getElementById(at)?.focus();
  }

  function begin(event) {
    event.preventDefault();
    const lacks = lacking(asked);
    if (lacks) { refuse(...lacks); return; }
    go('/api/new', asked, undefined);
  }

  /** A change of units changes what nobody has typed yet. */
  function units(word) {
    const was = USUAL[asked.units], is = USUAL[word];
    for (const level of asked.levels) {
      if (level.floor === was.floor) level.floor = is.floor;
      if (level.ceiling === was.ceiling) level.ceiling = is.ceiling;
    }
    asked.units = word;
    draw();
  }

  function more() {
    const number = asked.levels.length + 1;
    asked.levels.push({ name: number === 2 && !asked.levels.some((level) => level.name === 'upper') ? 'upper' : `floor-${number}`, floor: '', ceiling: USUAL[asked.units].ceiling });
    draw();
    document.getElementById(`level-${number - 1}-floor`)?.focus();
  }

  function less(index) {
    asked.levels.splice(index, 1);
    wrong = { at: '', words: '' };
    draw();
    document.getElementById('more-levels')?.focus();
  }

  const error = (id) => (wrong.at === id ? html`<p class="error" id="${id}-wrong">${wrong.words}</p>` : nothing);
  const told = (id, hint) => [hint ? `${id}-hint` : '', wrong.at === id ? `${id}-wrong` : ''].filter(Boolean).join(' ') || nothing;

  function field(id, label, value, take, hint = '') {
    return html`<div class="question">
      <label for=${id}>${label}</label>
      ${hint ? html`<p class="hint" id="${id}-hint">${hint}</p>` : nothing}
      <input type="text" id=${id} .value=${value} autocomplete="off" spellcheck="false" aria-invalid=${wrong.at === id} aria-describedby=${told(id, hint)} @input=${(event) => take(event.target.value)}>
      ${error(id)}</div>`;
  }

  function choice(id, label, value, all, take, hint = '') {
    return html`<div class="question">
      <label for=${id}>${label}</label>
      ${hint ? html`<p class="hint" id="${id}-hint">${hint}</p>` : nothing}
      <select id=${id} aria-invalid=${wrong.at === id} aria-describedby=${told(id, hint)} @change=${(event) => take(event.target.value)}>
        ${all.map(([word, words]) => html`<option value=${word} ?selected=${word === value}>${words}</option>`)}
      </select>${error(id)}</div>`;
  }

  function levels() {
    const { above } = USUAL[asked.units];
    return html`<fieldset class="question levels">
      <legend>Levels, the lowest first</legend>
      <p class="hint">The finished floor from the job's zero (a level above: ${above}; a cellar: -${above}), and the ceiling above that floor. Leave the ceiling empty where you do not know it.</p>
      ${asked.levels.map((level, index) => html`<div class="level" role="group" aria-label="Level ${index + 1}">
        ${field(`level-${index}-name`, 'Name', level.name, (value) => { level.name = value; })}
        ${field(`level-${index}-floor`, 'Floor', level.floor, (value) => { level.floor = value; })}
        ${field(`level-${index}-ceiling`, 'Ceiling', level.ceiling, (value) => { level.ceiling = value; })}
        ${asked.levels.length > 1 ? html`<button type="button" aria-label="Remove level ${level.name || index + 1}" @click=${() => less(index)}>Remove</button>` : nothing}
      </div>`)}
      <button type="button" id="more-levels" @click=${more}>Add a level above</button>
    </fieldset>`;
  }

  const openable = (id, words, under, body) => html`<li>
    <button class="job" id=${id} ?disabled=${busy} @click=${() => go('/api/open', body, id)}><strong>${words}</strong>${under ? html`<span>${under}</span>` : nothing}</button>${error(id)}</li>`;

  const when = (time) => new Date(time * 1000).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' });

  function draw() {
    const usual = USUAL[asked.units];
    render(html`
      <header class="home-head"><h1>Wyeline</h1><p>A plan and heights become an isometric to build from, with sizes, checks and lists.</p></header>
      <main class="home">
        ${at === null ? html`<p>Looking for jobs.</p>` : at.wrong ? html`<p class="error" role="alert" id="no-home">${at.status === 404 ? 'This is a copy to read: other jobs are not shown here.' : `${at.wrong} ${at.help ?? ''}`}</p>` : html`
        <div class="home-open">
          <p class="to-new"><a class="button" href="#new">New job</a> <a class="button" id="to-practice" href="/practice">Practice</a></p>
          ${at.recent.length ? html`<section aria-labelledby="recent-head"><h2 id="recent-head">Lately opened</h2>
            <ul class="jobs">${at.recent.map((job, index) => (job.there
    ? openable(`recent-${index}`, job.title || job.file.split(/[\\/]/).pop(), html`${when(job.time)}, ${job.file}`, { recent: index })
    : html`<li class="gone"><strong>${job.title || job.file}</strong> <span>no longer at ${job.file}</span></li>`))}</ul></section>` : nothing}
          <section aria-labelledby="folder-head"><h2 id="folder-head">In this folder</h2>
            <p class="hint folder">${at.folder}</p>
            ${at.files.length ? html`<ul class="jobs">${at.files.map((file, index) => openable(`file-${index}`, file, '', { file }))}</ul>` : html`<p>No job lies here yet.</p>`}</section>
        </div>
        <section class="home-new" id="new" aria-labelledby="new-head"><h2 id="new-head">New job</h2>
          <form @submit=${begin} novalidate>
            ${field('name', 'Name', asked.name, (value) => { asked.name = value; }, 'Of the job; its file is called by it and put into this folder.')}
            ${choice('units', 'Units', asked.units, Object.entries(UNITS), units)}
            ${choice('code', 'Code in force', asked.code, [['', 'none yet: drawn, but not sized or checked'], ...at.codes.map((code) => [code.id, code.name])], (value) => { asked.code = value; })}
            ${levels()}
            ${field('sewer', 'Sewer, how deep under the lowest floor', asked.sewer, (value) => { asked.sewer = value; }, `To its invert, for example ${usual.sewer}. It is written down as a note to be verified; empty where not known.`)}
            ${field('pressure', 'Water pressure at the service', asked.pressure, (value) => { asked.pressure = value; }, `With its unit, for example ${usual.pressure}. Empty where not known.`)}
            <p class="begin"><button type="submit" id="begin" class="strong" ?disabled=${busy}>Begin the job</button></p>
            ${error('begin')}
          </form></section>
        <section class="home-examples" aria-labelledby="examples-head"><h2 id="examples-head">Examples</h2>
          <p class="hint">Each opens as a job of your own in this folder.</p>
          <ul class="jobs">${at.examples.map((example) => openable(`example-${example.name}`, example.name.replaceAll('-', ' '), example.about, { example: example.name }))}</ul></section>`}
        <p class="unseen" role="alert">${wrong.words}</p>
      </main>`, el);
  }

  document.title = 'Wyeline';
  draw();
  at = await ask('/api/home');
  draw();
  document.documentElement.dataset.ready = 'yes';
}
