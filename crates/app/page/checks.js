// What breaks a rule of the code in force, what was not checked and why, and who decides.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { cited, folded, intoView, later, lines, place, same, table } from './tables.js';

export const name = 'checks';
export const title = 'Checks';
export const parts = ['checks'];

/** The line on which the job names its code, from 1; 0 where it does not. */
export function codeLine(text) { return text.split('\n').findIndex((line) => /^\s*code\s/.test(`${line} `)) + 1; }

/** Choosing the code in force, in that leaf; nothing for readers. */
export function codeChoice(desk, leaf) {
  const { stock, code, readOnly } = desk.state;
  if (readOnly || !stock?.codes) return nothing;
  const known = stock.codes.some((one) => one.id === code);
  const take = (event) => {
    if (!event.target.value) return;
    const words = `code ${event.target.value}`;
    const line = codeLine(desk.state.text);
    const select = event.target;
    desk.edit(line ? { do: 'say', line, words } : { do: 'add', words }).then((seen) => { if (seen.wrong) select.value = known ? code : ''; });
  };
  return html`<p class="row code-choice"><label for="code-of-${leaf}">Code in force</label>
    <select id="code-of-${leaf}" .value=${known ? code : ''} @change=${take}>
      ${known ? nothing : html`<option value="" selected>none</option>`}
      ${stock.codes.map((one) => html`<option value=${one.id} ?selected=${one.id === code}>${one.name}</option>`)}
    </select></p>`;
}

/** What stands where no code is in force. */
export function noCode(desk, leaf, said) {
  return html`<div class="no-code">
    <p><strong>No code is in force.</strong></p>
    ${lines(said.none, '')}
    ${codeChoice(desk, leaf)}</div>`;
}

/** So many names are told in one breath. */
const MOST = 4;

export function mount(el, desk, { show }) {
  const choose = (to) => { if (to) desk.choose(to); };

  function finding(one) {
    const to = place(desk.state.plan, [one.at.id].filter(Boolean), one.line);
    const chosen = same(to, desk.state.chosen);
    return html`<li class="finding ${chosen ? 'chosen' : ''}" value=${one.number}>
      <button class="finding-what" aria-pressed=${chosen} @click=${() => choose(to)}><span class="flag" aria-hidden="true">${one.number}</span><span><span class="unseen">Finding ${one.number}: </span>${one.message}</span></button>
      <p class="soft">By ${cited(one.cite)}; rule <span class="rule">${one.rule}</span>${one.at.id ? `; at ${one.at.id}` : ''}, line ${one.line}.</p>
      ${one.help ? html`<p><strong>What would mend it:</strong> ${one.help}.</p>` : nothing}
      ${one.unverified.length ? html`<p class="caution">Rests on what nobody has verified: ${one.unverified.join('; ')}.</p>` : nothing}
      ${one.notes.map((note) => html`<p class="soft">Line ${note.line}: ${note.text}.</p>`)}
      ${chosen ? html`<p class="acts"><button @click=${() => show('iso')}>Show on the isometric</button> <button @click=${() => show('words')}>Show the words</button></p>` : nothing}
    </li>`;
  }

  function unchecked(checks) {
    const left = checks.unchecked.map((one) => {
      const ids = [...new Set(one.at.map((at) => at.id ?? 'the job'))];
      const to = place(desk.state.plan, one.at.map((at) => at.id).filter(Boolean), 0);
      const more = ids.length > MOST ? ` and ${ids.length - MOST} more` : '';
      const words = `${one.rule}: ${ids.slice(0, MOST).join(', ')}${more}`;
      const chosen = same(to, desk.state.chosen);
      return html`<li class="left ${chosen ? 'chosen' : ''}">
        ${to ? html`<button class="left-where" aria-pressed=${chosen} @click=${() => choose(to)}>${words}</button>` : html`<span class="left-where">${words}</span>`}
        <p>${one.why}.</p></li>`;
    });
    const told = new Set(checks.unchecked.map((one) => one.rule));
    const nowhere = Object.entries(checks.looked_at).filter(([rule, places]) => places === 0 && !told.has(rule)).map(([rule]) => rule);
    /** @type {Map<string, string[]>} */
    const gaps = new Map();
    checks.not_sized.forEach((gap) => gaps.set(gap.why, [...(gaps.get(gap.why) ?? []), gap.at]));
    return html`<section aria-labelledby="not-checked">
      <h3 id="not-checked">Not checked</h3>
      ${left.length ? html`<ul class="plain-list">${left}</ul>` : html`<p>No rule that was looked at lacked what it needs.</p>`}
      ${[...gaps].map(([why, at]) => html`<p>Not sized, ${[...new Set(at)].join(', ')}: ${why}.</p>`)}
      ${nowhere.length ? folded(`Nothing in this job that they are about: ${nowhere.length} rules`, html`<p class="soft">${nowhere.join(', ')}</p>`) : nothing}
      ${checks.not_in_code.length ? folded(`The code has no such rule, or no value of it is held here: ${checks.not_in_code.length} rules`, html`<p class="soft">${checks.not_in_code.join(', ')}</p>`) : nothing}
      <p>No rule is about supports, fire stopping, tests, workmanship, and what the job does not tell.</p>
    </section>`;
  }

  function draw() {
    const { checks } = desk.state;
    if (!checks) { render(html`<p class="pad soft">Working out the checks.</p>`, el); return; }
    if (!checks.findings) { render(html`<div class="tables">${noCode(desk, name, checks)}</div>`, el); return; }
    const fresh = checks.findings.filter((one) => !one.existing), old = checks.findings.filter((one) => one.existing);
    const looked = Object.entries(checks.looked_at).filter(([, places]) => places > 0);
    render(html`<div class="tables">
      ${codeChoice(desk, name)}
      <p class="sum" role="status"><strong>${checks.summary[0].toUpperCase()}${checks.summary.slice(1)}</strong>; ${checks.looked}.</p>
      ${fresh.length ? html`<h3>Findings</h3><ol class="findings">${fresh.map(finding)}</ol>` : nothing}
      ${old.length ? html`<h3>Existing work, as it is told</h3><ol class="findings">${old.map(finding)}</ol>` : nothing}
      ${unchecked(checks)}
      ${folded(`What was looked at: ${checks.looked}`, table({
    caption: 'Rules that were looked at, and at how many places', columns: [{ head: 'rule' }, { head: 'places', right: true }],
    groups: [{ rows: looked.map(([rule, places]) => ({ cells: [rule, places] })) }],
  }))}
      ${lines(checks.caution)}${lines(checks.gas_caution, 'caution')}
    </div>`, el);
  }

  let moved = false;
  const soon = later(() => { draw(); if (moved) intoView(el); moved = false; });
  return {
    update(changed) {
      if (changed.has('chosen')) moved = true;
      if (['checks', 'chosen', 'plan', 'code', 'stock'].some((part) => changed.has(part))) soon();
    },
  };
}
