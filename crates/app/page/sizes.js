// Loads and sizes of the pipes, each with the one line that decided it; falls, pressures, hot water; what is not sized and why.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { length } from './desk.js';
import { noCode } from './checks.js';
import { cited, figure, flow, intoView, later, lines, place, power, pressure, same, slope, table, velocity, volume } from './tables.js';

export const name = 'sizes';
export const title = 'Sizes';
export const parts = ['sizes'];

/** What a pipe carries, in the units in which its code counts: fixture units, or the discharge and loading units of EN. */
function carries(pipe, code, metric) {
  const [drain, water] = code.startsWith('en-') ? ['DU', 'LU'] : ['dfu', 'wsfu'];
  const [cold, hot, total] = pipe.water;
  if (pipe.system === 'waste' || pipe.system === 'vent') return pipe.drain > 0 ? `${figure(pipe.drain)} ${drain}` : '';
  if (pipe.system === 'gas') return pipe.gas_w > 0 ? power(pipe.gas_w, metric) : '';
  if (pipe.system !== 'cold' && pipe.system !== 'hot') return '';
  // Where both are fed, what counts is less than their sum.
  const of = pipe.system === 'hot' ? hot : hot > 0 ? total : cold;
  return [of > 0 ? `${figure(of)} ${water}` : '', pipe.continuous_lps > 0 ? `${flow(pipe.continuous_lps, metric)} running on` : ''].filter(Boolean).join(' + ');
}

const rests = (names) => (names?.length ? html` <span class="caution">Not verified: ${names.join(', ')}.</span>` : nothing);

export function mount(el, desk, { show }) {
  /** The derivation of the chosen pipe. @type {{id: string, version: number, seen: any}|null} */
  let why = null;
  let asked = '';

  /** Asks for the derivation of the pipe that is chosen, once a version. */
  async function explain() {
    const { chosen, version, sizes } = desk.state;
    const id = chosen?.kind === 'pipe' && sizes?.pipes?.some((pipe) => pipe.id === chosen.id) ? chosen.id : '';
    const key = id ? `${version} ${id}` : '';
    if (key === asked) return;
    asked = key;
    if (!id) { why = null; draw(); return; }
    const seen = await desk.ask(desk.at(`?${new URLSearchParams({ parts: 'sizes', pipe: id })}`));
    if (asked !== key) return;
    why = { id, version, seen: seen.wrong ? seen : seen.sizes };
    draw();
    intoView(el);
  }

  function derivation(id) {
    if (!why || why.id !== id) return html`<p class="soft">Looking up how it was worked out.</p>`;
    const { steps, wrong, stated, least } = why.seen;
    if (wrong) return html`<p class="bad">${wrong}</p>`;
    return html`
      <h4>How ${id} was worked out</h4>
      <ol class="steps">${(steps ?? []).map((step) => html`<li class=${step.governs ? 'governs' : nothing}>${step.governs ? html`<strong>Decides: </strong>` : nothing}${step.text}${step.cite ? html` <cite>${cited(step.cite)}</cite>` : nothing}</li>`)}</ol>
      <p class="soft">${stated ? `Its size is stated by the job${least ? `; the least is ${least}` : ''}.` : 'Nobody stated its size: it is the least that the code allows.'}</p>
      <p class="acts"><button @click=${() => show('iso')}>Show on the isometric</button> <button @click=${() => show('words')}>Show the words</button></p>`;
  }

  /** @param {any[]} all pipes of one system */
  function ofSystem(system, all) {
    const { plan, sizes, metric, chosen } = desk.state;
    const drawn = new Map(plan.pipes.map((pipe) => [pipe.id, pipe]));
    const fall = new Map(sizes.falls.map((one) => [one.pipe, one]));
    const any = (has) => all.some(has);
    const columns = [
      { head: 'pipe' }, { head: 'what it is' }, { head: 'carries', right: true, of: (pipe) => carries(pipe, sizes.code, metric), if: any((pipe) => carries(pipe, sizes.code, metric)) },
      { head: 'length', right: true, of: (pipe) => (pipe.developed_mm === null ? '' : length(pipe.developed_mm, metric)), if: any((pipe) => pipe.developed_mm !== null) },
      { head: 'peak', right: true, of: (pipe) => (pipe.flow_lps > 0 ? `${flow(pipe.flow_lps, metric)}${pipe.flow_by ? '*' : ''}` : ''), if: any((pipe) => pipe.flow_lps > 0) },
      { head: 'velocity', right: true, of: (pipe) => velocity(pipe.velocity, metric), if: any((pipe) => pipe.velocity !== null) },
      { head: 'least', right: true, of: (pipe) => pipe.least ?? '', if: true },
      { head: 'size', right: true, of: (pipe) => size(pipe, drawn.get(pipe.id)), if: true },
      { head: 'slope', right: true, of: (pipe) => falls(fall.get(pipe.id)), if: any((pipe) => fall.has(pipe.id)) },
      { head: 'decided by', of: (pipe) => html`<span class="why">${pipe.governs.words}</span>${rests(pipe.rests_on)}`, if: true },
    ].filter((column) => column.if !== false);
    /** @type {Map<string, any[]>} */
    const runs = new Map();
    for (const pipe of all) {
      const run = drawn.get(pipe.id)?.run ?? '';
      if (runs.has(run)) runs.get(run)?.push(pipe); else runs.set(run, [pipe]);
    }
    const groups = [...runs].map(([run, pipes]) => ({
      name: run,
      rows: pipes.map((pipe) => {
        const is = chosen?.kind === 'pipe' && chosen.id === pipe.id;
        return {
          cells: [pipe.id, pipe.role, ...columns.slice(2).map((column) => column.of?.(pipe))],
          chosen: is, act: () => desk.choose(is ? null : place(plan, [pipe.id], pipe.line)), below: is ? derivation(pipe.id) : null,
        };
      }),
    }));
    const by = all.find((pipe) => pipe.flow_by)?.flow_by;
    return html`
      <h3>${system[0].toUpperCase()}${system.slice(1).replace('-', ' ')}</h3>
      ${table({ caption: `Sizes of ${system.replace('-', ' ')} pipe`, columns, groups })}
      ${by ? html`<p class="soft">* by ${cited(by)}</p>` : nothing}`;
  }

  function size(pipe, drawn) {
    const worked = drawn?.worked_out ?? !pipe.stated;
    const words = drawn?.size ?? pipe.size;
    return html`${words ?? 'not known'}${words && worked ? html`<abbr title="worked out: nobody stated it">†</abbr>` : nothing}${pipe.existing ? html` <span class="soft">existing</span>` : nothing}`;
  }

  const falls = (fall) => (fall ? `${slope(fall.slope, desk.state.metric)}${fall.assumed ? ' *' : ''}` : '');

  function drains() {
    const { sizes, metric, plan, text, chosen } = desk.state;
    if (!sizes.falls.length && !sizes.arrives.length) return nothing;
    const mm = (value) => (value === null || value === undefined ? '' : length(value, metric));
    const drawn = new Map(plan.pipes.map((pipe) => [pipe.id, pipe]));
    const rows = sizes.falls.map((fall) => {
      const pipe = drawn.get(fall.pipe);
      const dagger = fall.size_worked_out ? '†' : '';
      const invert = (value) => (mm(value) ? mm(value) + dagger : '');
      const to = place(plan, [fall.pipe], 0);
      return {
        cells: [fall.pipe, `${pipe?.size ?? ''}${dagger}`, falls(fall), slope(fall.least, metric), invert(fall.invert_mm[0]), invert(fall.invert_mm[1]),
          mm(fall.above_outlet_mm[0]), mm(fall.left_mm), mm(fall.cover_mm[0]), mm(fall.cover_mm[1])],
        act: to ? () => desk.choose(to) : null, chosen: same(to, chosen), name: `${fall.pipe}, its fall`,
      };
    });
    const columns = ['pipe', 'size', 'slope', 'at least', 'invert from', 'invert to', 'above outlet', 'to spare', 'cover from', 'cover to'];
    const cites = [...new Set(sizes.falls.map((fall) => cited(fall.cite)).filter(Boolean))];
    return html`
      <h3>Falls</h3>
      ${rows.length ? html`
        ${table({ caption: 'Falls of the drains, from their upstream ends', columns: columns.map((head, at) => ({ head, right: at > 0 })), groups: [{ rows }] })}
        <p class="soft">Inverts count from the job's zero, as its levels do${/^\s*datum\s.*\bis\s+(?!0['"]?\s*(#|$))/m.test(text) ? '; the sheets add the datum' : ''}. Least slopes by ${cites.join('; ') || 'no table'}.
          ${sizes.falls.some((fall) => fall.assumed) ? '* slope assumed: nobody stated it. ' : ''}${sizes.falls.some((fall) => fall.size_worked_out) ? '† by a size that was worked out. ' : ''}</p>` : nothing}
      ${sizes.arrives.length ? html`<h3>Heights to arrive at</h3><ul class="plain-list">${sizes.arrives.map(arrives)}</ul>` : nothing}`;
  }

  function arrives(fit) {
    const { metric } = desk.state;
    const misses = fit.miss_mm > 0;
    const { flattest, steepest } = fit;
    const range = flattest === null ? 'no slope that the code allows works'
      : steepest === null ? `${slope(flattest, metric)} or steeper works`
        : Math.abs(steepest - flattest) < 1e-9 ? `only ${slope(flattest, metric)} works` : `slopes from ${slope(flattest, metric)} to ${slope(steepest, metric)} work`;
    return html`<li class=${misses ? 'errs' : 'fine'}>
      <p><strong>${fit.run}: ${misses ? `misses, ${length(fit.miss_mm, metric)} too ${fit.too_high ? 'high' : 'low'}` : 'fits'}</strong> over ${length(fit.run_mm, metric)} level; ${range}.</p>
      ${fit.offers.length ? html`<p>Would mend it:</p><ul>${fit.offers.map((offer) => html`<li>${offer}</li>`)}</ul>` : nothing}</li>`;
  }

  function pressures() {
    const { sizes, metric, plan, chosen } = desk.state;
    const pa = (value) => pressure(value, metric);
    const lost = (value) => (Math.abs(value) < 0.5 ? '' : pa(value));
    const wet = sizes.fixtures.filter((one) => one.residual_pa.some((v) => v !== null) || one.hot_length_mm !== null);
    const budget = sizes.pressure_budget;
    const both = (all, pick) => { const known = all.filter((v) => v !== null); return known.length ? pick(...known) : null; };
    const rows = wet.map((one) => {
      const to = place(plan, [one.tag], 0), has = both(one.residual_pa, Math.min);
      const spare = has !== null && one.needs_pa !== null ? has - one.needs_pa : null;
      return {
        cells: [one.tag, ...one.residual_pa.map(pa), pa(one.needs_pa), spare === null ? '' : spare < 0 ? html`<strong class="bad">${pa(-spare)} short</strong>` : pa(spare), pa(both(one.standing_pa, Math.max)),
          one.hot_length_mm === null ? '' : length(one.hot_length_mm, metric), volume(one.hot_volume_l, metric), one.hot_wait_s === null ? '' : `${one.hot_wait_s.toFixed(0)} s`, volume(one.hot_wasted_l, metric)],
        act: to ? () => desk.choose(to) : null, chosen: same(to, chosen),
      };
    });
    const head = (names) => names.map((one, at) => ({ head: one, right: at > 0 }));
    return html`
      ${wet.length ? html`<h3>Water at the fixtures</h3>
        ${table({ caption: 'Pressure left at each fixture, and how long hot water takes', columns: head(['fixture', 'cold', 'hot', 'needs', 'to spare', 'standing', 'hot pipe', 'holds', 'hot after', 'run off']), groups: [{ rows }] })}` : nothing}
      ${budget ? html`<h3>Pressures</h3>
        <p>How the pressure is spent on the way to ${budget.fixture} (${budget.hot ? 'hot' : 'cold'}), which has the least to spare. Supply ${pa(budget.supply_pa)}.</p>
        ${table({
    caption: `Pressure on the way to ${budget.fixture}`, columns: head(['pipe', 'reduced', 'height', 'devices', 'friction', 'fittings as pipe', 'left']),
    groups: [{ rows: budget.rows.map((row) => {
      const to = place(plan, [row.pipe], 0);
      return { cells: [row.pipe, lost(row.reduced_pa), lost(row.height_pa), lost(row.devices_pa), lost(row.friction_pa), row.fittings_mm ? length(row.fittings_mm, metric) : '', pa(row.left_pa)], act: to ? () => desk.choose(to) : null, chosen: same(to, chosen), name: `${row.pipe}, its pressure` };
    }) }],
  })}
        <p><strong>Left ${pa(budget.residual_pa)}, needed ${pa(budget.needs_pa)}: ${budget.residual_pa < budget.needs_pa ? `${pa(budget.needs_pa - budget.residual_pa)} short` : `${pa(budget.residual_pa - budget.needs_pa)} to spare`}.</strong></p>` : nothing}
      ${sizes.assumed.length ? html`<h3>Assumed, because nobody stated it</h3><ul>${sizes.assumed.map((one) => html`<li>${one.what} <cite>${one.source}</cite></li>`)}</ul>` : nothing}`;
  }

  function draw() {
    const { sizes, plan } = desk.state;
    if (!sizes || !plan) { render(html`<p class="pad soft">Working out the sizes.</p>`, el); return; }
    if (!sizes.pipes) { render(html`<div class="tables">${noCode(desk, name, sizes)}</div>`, el); return; }
    const systems = [...new Set(sizes.pipes.map((pipe) => pipe.system))];
    const worked = plan.pipes.some((pipe) => pipe.worked_out);
    render(html`<div class="tables">
      <p class="soft">Sized by ${sizes.name}.${worked ? ' † worked out: nobody stated it, and it is the least that the code allows.' : ''}</p>
      ${sizes.amendments.map((line) => html`<p class="caution">${line}</p>`)}
      ${sizes.pipes.length ? nothing : html`<p>Nothing is piped yet.</p>`}
      ${sizes.not_sized.length ? html`<section aria-labelledby="not-sized"><h3 id="not-sized">Not sized</h3><ul class="plain-list">${sizes.not_sized.map((gap) => html`<li class="warns">
        <p><strong>${gap.at}:</strong> ${gap.why}.${gap.help ? html` <span class="soft">${gap.help}</span>` : nothing}</p></li>`)}</ul></section>` : nothing}
      ${systems.map((system) => ofSystem(system, sizes.pipes.filter((pipe) => pipe.system === system)))}
      ${drains()}
      ${pressures()}
      ${lines(sizes.caution)}
      ${systems.includes('gas') ? lines(sizes.gas_caution, 'caution') : nothing}
    </div>`, el);
  }

  const soon = later(() => { draw(); explain(); });
  return {
    update(changed) {
      if (['sizes', 'chosen', 'plan', 'metric', 'code', 'stock'].some((part) => changed.has(part))) soon();
    },
  };
}
