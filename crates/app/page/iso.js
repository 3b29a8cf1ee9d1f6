// The isometric as the program draws it: looked at from near and far, from any corner; what is pointed at lights up everywhere,
// and a length, size or height is changed where it stands.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { lineOf, parted } from './desk.js';
import { Picture, halo } from './picture.js';
import { CORNERS, NAMES, Turn, standingPlan, whereabouts } from './turn.js';

export const name = 'iso', title = 'Isometric', parts = ['iso'];

const SYSTEMS = { waste: 'Waste', vent: 'Vent', cold: 'Cold', hot: 'Hot', 'hot-return': 'Hot return', storm: 'Storm', gas: 'Gas' };
/** A line is pointed at from so far, pixels: a finger's uncertainty. */
const REACH = 12;
/** A hand that moves less has clicked, pixels. */
const STILL = 5;
/** Words of a crowded drawing are shown from so many pixels a millimetre of paper on: capitals 2.5 mm high are 6 pixels then. Our own choice. */
const NEAR = 2.4;
/** A hand that has not moved for so long is still, ms. */
const PAUSE = 250;
/** Places looked at are told in steps of so many mm, so that not every push asks for other words. */
const STEP = 40;
const FROM_BELOW = 'This height follows from falls and lengths: change those, or a height told before it.';

/** @typedef {import('./picture.js').Label} Label */

/** The height that a line tells, in its words; nothing where it tells none. */
export function heightIn(words) {
  const told = /^(?:start|(?:up|down)\s+to|to|arrives)\s/.test(words);
  return (told && words.match(/(?:(?:invert|top)\s+)?(?:(?:"[^"]*"|\S+)\s+(?:floor|ceiling|joists)\b|roof\b|datum\b).*$/)?.[0]) || '';
}

/** A length as it stands on the drawing, in the job's words: `3'-9 1/2"` is `3'9-1/2"`, `1372` is `1372mm` whatever the job counts in. */
export const asTyped = (words) => words.replace(/^\d+$/, '$&mm').replace(/ c-c$/, '').replace(/(\d) (\d+\/)/, '$1-$2').replace("'-", "'").replace(/^0'/, '').replace(/'0"$/, "'");

export function mount(el, desk) {
  /** The drawing as it lies there: its element, the job's origin on it, its scale, its size. @type {any} */
  let page = null;
  /** What is looked at: a place on paper from the job's origin, mm, and pixels a mm. */
  const eye = { x: 0, y: 0, k: 1, whole: true };
  let box = { w: 0, h: 0 };
  const picture = new Picture();
  /** @type {{kind: string, label: Label, line: number, words: string, wrong: string}|null} */
  let editing = null;
  let note = '', pointed = '', more = false, shownChosen = /** @type {any} */ (null), seen = '';
  /** @type {Map<number, {x: number, y: number}>} */ const hands = new Map();
  let moved = 0;
  /** @type {any} */ let still = 0;
  const hint = document.createElement('p');
  hint.className = 'nearer';

  const state = () => desk.state;
  const t = () => turn.t ?? Math.max(0, CORNERS.indexOf(state().iso?.corner));

  // ---------------------------------------------------------------- what is looked at
  const paper = () => /** @type {HTMLElement} */ (el.querySelector('.paper'));
  const least = () => Math.min((box.w - 16) / page.w, (box.h - 16) / page.h);
  function fit() {
    if (!page || !box.w) return;
    const k = Math.max(least(), 0.01);
    // Where there is room to spare, clear of the buttons below.
    const up = Math.min(24, Math.max(0, (box.h - page.h * k) / 2 - 8)) / k;
    Object.assign(eye, { x: page.w / 2 - page.ox, y: page.h / 2 - page.oy + up, k, whole: true });
    place();
  }
  function place() {
    if (!page || !box.w) return;
    const { k } = eye;
    const seen = `${page.ox + eye.x - box.w / 2 / k} ${page.oy + eye.y - box.h / 2 / k} ${box.w / k} ${box.h / k}`;
    if (page.svg.getAttribute('viewBox') !== seen) page.svg.setAttribute('viewBox', seen);
    if (editing) put();
    clearTimeout(still);
    if (page.crowded) still = setTimeout(peer, PAUSE);
    nearer();
  }
  /** Of a crowded drawing, where it is looked at from near, as the program reads it; nothing where it is seen as a whole. */
  function near() {
    const { k } = eye;
    if (!page?.crowded || k < NEAR) return '';
    const low = (at) => Math.floor(at / STEP) * STEP, high = (at) => Math.ceil(at / STEP) * STEP;
    return [low(eye.x - box.w / 2 / k), low(eye.y - box.h / 2 / k), high(eye.x + box.w / 2 / k), high(eye.y + box.h / 2 / k), page.scale].join();
  }
  /** Asks for the words of what is looked at from near, once the hand is still. */
  function peer() { if (turn.t === null && near() !== desk.seen) desk.peer(near()).then(nearer); }
  /** Says of a crowded drawing that its words come. */
  function nearer() {
    const words = !page?.crowded || near() === desk.seen && near() ? '' : near() ? 'The labels of this part are coming.' : 'Labels come when you zoom in.';
    if (hint.textContent !== words) hint.textContent = words;
  }
  /** From pixels in the paper's box to the drawing's own mm. */
  const onPage = (px, py) => [page.ox + eye.x + (px - box.w / 2) / eye.k, page.oy + eye.y + (py - box.h / 2) / eye.k];
  const inBox = (x, y) => [(x - page.ox - eye.x) * eye.k + box.w / 2, (y - page.oy - eye.y) * eye.k + box.h / 2];
  function zoom(by, px = box.w / 2, py = box.h / 2) {
    if (!page) return;
    const k = Math.min(60, Math.max(least() / 2, eye.k * by));
    // The place under the pointer stays under it.
    eye.x += (px - box.w / 2) * (1 / eye.k - 1 / k);
    eye.y += (py - box.h / 2) * (1 / eye.k - 1 / k);
    eye.k = k;
    eye.whole = false;
    place();
  }
  function pan(dx, dy) { eye.x -= dx / eye.k; eye.y -= dy / eye.k; eye.whole = false; place(); }

  /** Lays a new drawing in the place of the old. */
  function lay() {
    const iso = state().iso;
    if (!iso?.svg) { page = null; seen = ''; nearer(); paper().querySelector('.drawn')?.replaceChildren(); return; }
    if (iso.svg === seen) return;
    seen = iso.svg;
    const was = page;
    point('');
    light(false, null);
    const anew = picture.take(iso.svg);
    const { svg, view } = picture;
    const [ox, oy] = (view?.dataset.origin ?? '0 0').split(' ').map(Number);
    const scale = Number(view?.dataset.scale ?? 1);
    page = { svg, ox, oy, scale, w: iso.size[0], h: iso.size[1], corner: iso.corner, crowded: iso.crowded };
    svg.setAttribute('role', 'img');
    svg.setAttribute('aria-label', iso.words);
    if (anew || !svg.isConnected) paper().querySelector('.drawn')?.replaceChildren(svg);
    if (!was || was.corner !== page.corner || eye.whole) fit();
    else {
      // The same place of the building stays where it was, as large as it was.
      const by = was.scale / scale;
      Object.assign(eye, { x: eye.x * by, y: eye.y * by, k: eye.k / by });
      place();
    }
    if (editing) leave();
    light(false);
  }

  // ---------------------------------------------------------------- what lies where
  const found = () => (page ? picture.found() : null);
  const labelAt = (x, y, more) => picture.labelAt(x, y, more);
  const pipeAt = (x, y) => picture.pipeAt(x, y, REACH / eye.k);
  /** What a label can be changed as. @param {Label} label */
  function kindOf(label) {
    if (state().readOnly) return '';
    if (label.of === 'height') return 'height';
    if (label.of !== 'pipe' || !label.pipe) return '';
    const first = found()?.labels.find((one) => one.pipe === label.pipe && one.of === 'pipe' && one.words.replace('†', '') === desk.pipe(label.pipe)?.size);
    if (label === first) return 'size';
    return /^\d+'-\d|^\d[\d ./-]*" c-c$|^\d+$/.test(label.words) ? 'length' : '';
  }
  const node = (id) => state().plan?.nodes.find((one) => one.id === id);

  // ---------------------------------------------------------------- what lights up
  /** Shows what is chosen; blinks where it is chosen just now. */
  function light(fresh, chosen = state().chosen) {
    if (!page) return;
    const ids = desk.lit();
    for (const old of page.svg.querySelectorAll('.lit, .lit-halo')) old.classList.contains('lit-halo') ? old.remove() : old.classList.remove('lit', 'blink');
    if (!chosen) return;
    const on = [];
    for (const id of ids) for (const g of found()?.groups.get(id) ?? []) { halo(g, 'lit-halo'); on.push(g); }
    if (ids.size) for (const label of found()?.labels ?? []) if (label.pipe && ids.has(label.pipe)) on.push(label.el);
    if (chosen.kind === 'fixture') on.push(...page.svg.querySelectorAll(`[data-fixture="${CSS.escape(chosen.id)}"]`));
    if (chosen.kind === 'node') on.push(...page.svg.querySelectorAll(`[data-node="${CSS.escape(chosen.id)}"]`));
    for (const one of on) one.classList.add('lit', ...(fresh ? ['blink'] : []));
    if (fresh && on.length) bring(on);
  }
  /** What was chosen elsewhere and lies out of sight comes into the middle. */
  function bring(on) {
    if (eye.whole) return;
    const here = paper().getBoundingClientRect();
    const all = on.map((one) => one.getBoundingClientRect());
    if (all.some((r) => r.right > here.left && r.left < here.right && r.bottom > here.top && r.top < here.bottom)) return;
    const [r] = all;
    pan(here.left + box.w / 2 - (r.left + r.right) / 2, here.top + box.h / 2 - (r.top + r.bottom) / 2);
  }
  function point(id) {
    if (id === pointed) return;
    page?.svg.querySelectorAll('.near-halo').forEach((one) => one.remove());
    pointed = id;
    if (id) for (const g of found()?.groups.get(id) ?? []) halo(g, 'near-halo');
    paper().classList.toggle('over', id !== '');
  }

  // ---------------------------------------------------------------- words changed where they stand
  /** @param {Label} label */
  function change(label) {
    const kind = kindOf(label);
    note = '';
    if (!kind) return draw();
    let words = kind === 'length' ? asTyped(label.words) : label.words.replace('†', ''), line = 0;
    if (kind === 'height') {
      line = node(label.node)?.line ?? 0;
      words = line ? heightIn(parted(lineOf(state().text, line))[0]) : '';
      if (!words) { note = FROM_BELOW; return draw(); }
    }
    editing = { kind, label, line, words, wrong: '' };
    draw();
    put();
    const input = /** @type {HTMLInputElement} */ (el.querySelector('.there input'));
    input.focus({ preventScroll: true });
    input.select();
  }
  function put() {
    const there = /** @type {HTMLElement|null} */ (el.querySelector('.there'));
    if (!there || !editing) return;
    const [x, y] = inBox(editing.label.x, editing.label.y + editing.label.h / 2);
    there.style.left = `${Math.max(4, Math.min(x - 8, box.w - there.offsetWidth - 4))}px`;
    there.style.top = `${Math.max(4, Math.min(y - 18, box.h - there.offsetHeight - 4))}px`;
  }
  function leave() { const had = el.querySelector('.there')?.contains(document.activeElement); editing = null; draw(); if (had) paper().focus({ preventScroll: true }); }
  async function enter(event) {
    event.preventDefault();
    if (!editing) return;
    const now = editing, words = /** @type {HTMLInputElement} */ (el.querySelector('.there input')).value.trim();
    if (words === now.words && !now.wrong) return leave();
    const { kind, label, line } = now;
    const answer = await desk.edit(kind === 'height' ? { do: 'height', line, words } : { do: kind, pipe: label.pipe, words });
    if (editing === now && answer.wrong) { now.words = words; now.wrong = [answer.wrong, answer.help].filter(Boolean).join(': '); draw(); put(); }
    else if (editing === now) leave();
  }

  // ---------------------------------------------------------------- hands and keys
  const at = (event) => { const r = paper().getBoundingClientRect(); return [event.clientX - r.left, event.clientY - r.top]; };
  const hand = {
    down(event) {
      if (event.button > 0 || event.target.closest('.there, .telling, button')) return;
      const [x, y] = at(event);
      if (!hands.size) moved = 0;
      hands.set(event.pointerId, { x, y });
      paper().setPointerCapture(event.pointerId);
    },
    move(event) {
      if (!page || turn.t !== null) return;
      const [x, y] = at(event), was = hands.get(event.pointerId);
      if (!was) { if (event.pointerType !== 'touch') over(x, y); return; }
      const other = [...hands].find(([id]) => id !== event.pointerId)?.[1];
      moved += Math.hypot(x - was.x, y - was.y);
      if (other) {
        const far = Math.hypot(was.x - other.x, was.y - other.y) || 1;
        zoom(Math.hypot(x - other.x, y - other.y) / far, (x + other.x) / 2, (y + other.y) / 2);
        pan((x - was.x) / 2, (y - was.y) / 2);
        moved += STILL;
      } else if (moved > STILL) pan(x - was.x, y - was.y);
      hands.set(event.pointerId, { x, y });
    },
    up(event) {
      const was = hands.delete(event.pointerId);
      if (was && !hands.size && moved <= STILL && event.type === 'pointerup' && turn.t === null && page) click(...at(event), event.pointerType === 'touch');
    },
  };
  function over(px, py) {
    const [x, y] = onPage(px, py), label = labelAt(x, y, 2 / eye.k);
    point(label?.pipe ?? pipeAt(x, y)?.pipe ?? '');
    paper().classList.toggle('writes', Boolean(label && kindOf(label)));
  }
  function click(px, py, finger) {
    if (editing) leave();
    paper().focus({ preventScroll: true });
    const [x, y] = onPage(px, py);
    // A finger covers more than a label: where no line is nearer, the label beside it is meant.
    const pipe = pipeAt(x, y), label = labelAt(x, y, 2 / eye.k) ?? (finger && !pipe ? labelAt(x, y, REACH / eye.k) : undefined);
    const under = document.elementsFromPoint(px + paper().getBoundingClientRect().left, py + paper().getBoundingClientRect().top);
    const symbol = /** @type {any} */ (under.map((one) => one.closest('g.symbol')).find(Boolean));
    const fixture = label ? label.fixture : !pipe && symbol?.dataset.fixture;
    const point = label ? label.node : !pipe && symbol?.dataset.node;
    const id = label?.pipe ?? (label ? undefined : pipe?.pipe);
    if (id) desk.choose({ kind: 'pipe', id, line: desk.pipe(id)?.line ?? 0 });
    else if (fixture) desk.choose({ kind: 'fixture', id: fixture, line: state().plan?.fixtures.find((one) => one.tag === fixture)?.line ?? 0 });
    else if (point) desk.choose({ kind: 'node', id: point, line: node(point)?.line ?? 0 });
    else desk.choose(null);
    note = '';
    if (label) change(label); else draw();
  }
  function step(by) {
    const pipes = (state().plan?.pipes ?? []).filter((pipe) => found()?.groups.has(pipe.id));
    if (!pipes.length) return;
    const now = pipes.findIndex((pipe) => pipe.id === state().chosen?.id);
    const next = pipes[now < 0 ? (by > 0 ? 0 : pipes.length - 1) : (now + by + pipes.length) % pipes.length];
    desk.choose({ kind: 'pipe', id: next.id, line: next.line });
  }
  function key(event) {
    if (event.target !== paper() || event.ctrlKey || event.metaKey || event.altKey) return;
    const does = {
      '+': () => zoom(1.25), '=': () => zoom(1.25), '-': () => zoom(0.8), 0: fit,
      ArrowLeft: () => pan(60, 0), ArrowRight: () => pan(-60, 0), ArrowUp: () => pan(0, 60), ArrowDown: () => pan(0, -60),
      n: () => step(1), p: () => step(-1), Escape: () => desk.choose(null),
      Enter: () => { const label = said().find((one) => kindOf(one) === 'length') ?? said().find((one) => kindOf(one)); if (label) change(label); },
    }[event.key];
    if (does && page) { event.preventDefault(); does(); }
  }

  // ---------------------------------------------------------------- the leaf
  /** What the drawing says of the chosen pipe, its ends included. @returns {Label[]} */
  function said() {
    const chosen = state().chosen, pipe = chosen?.kind === 'pipe' && desk.pipe(chosen.id);
    if (!pipe || !page) return [];
    const ends = [pipe.from, pipe.to].map((end) => state().plan.nodes[end]?.id);
    return found()?.labels.filter((one) => one.pipe === pipe.id || (one.node && one.of === 'height' && ends.includes(one.node))) ?? [];
  }
  const view = (part) => { if ('corner' in part) desk.seen = ''; desk.set({ view: { ...state().view, ...part } }); desk.look(); };
  function stand(corner) {
    // Where that corner is drawn already, nothing is asked.
    turn.hide();
    if (corner !== state().view.corner) view({ corner });
    draw();
  }
  function toggle(system, here) {
    const { systems } = state().view, now = systems.length ? systems : here;
    const next = now.includes(system) ? now.filter((one) => one !== system) : here.filter((one) => one === system || now.includes(one));
    note = next.length ? '' : 'The last system stays shown.';
    if (next.length) view({ systems: next.length === here.length ? [] : next });
    draw();
  }
  function turned(event, done) {
    const value = Number(event.target.value), corner = Turn.at(value);
    if (!done || !corner) turn.show(value);
    else { event.target.value = String(CORNERS.indexOf(corner)); if (corner === state().iso?.corner) turn.hide(); else turn.show(Math.round(value)); if (corner !== state().view.corner) view({ corner }); }
    draw();
  }
  function turnKey(event) {
    const by = { ArrowLeft: -0.125, ArrowDown: -0.125, ArrowRight: 0.125, ArrowUp: 0.125, PageUp: 1, PageDown: -1 }[event.key];
    if (!by) return;
    event.preventDefault();
    event.target.value = String(Number(event.target.value) + by);
    turned(event, true);
  }
  const sample = (system) => html`<svg class="sample" viewBox="0 0 18 3" aria-hidden="true"><path class="pen-${system}" d="M0 1.5H18"></path></svg>`;

  function draw() {
    const { iso, plan, view: { corner, systems, grid, true_fall }, chosen, level } = state();
    const here = Object.keys(SYSTEMS).filter((system) => plan?.pipes.some((pipe) => pipe.system === system));
    const at = t(), telling = said(), standing = turn.t === null ? iso?.corner : null;
    render(html`
      <div class="row looks">
        <div class="corners" role="group" aria-label="Corner one looks from">
          ${['nw', 'ne', 'sw', 'se'].map((one) => html`<button id="iso-${one}" class=${one} aria-pressed=${standing === one} aria-label="${one.toUpperCase()}: from the ${NAMES[one]}" @click=${() => stand(one)}>${one.toUpperCase()}</button>`)}
          ${standingPlan(plan, level ?? 0, at)}
        </div>
        <div class="ways">
          <div class="bit">
            <button id="iso-best" aria-pressed=${corner === ''} @click=${() => stand('')}>Best</button>
            <label class="turn" for="iso-turn">Turn</label>
            <input type="range" id="iso-turn" min="0" max="4" step="0.005" .value=${String(at)} aria-valuetext=${whereabouts(at)} ?disabled=${!plan} @input=${(e) => turned(e, false)} @change=${(e) => turned(e, true)} @keydown=${turnKey}>
          </div>
          <div aria-live="polite">${turn.t === null && iso?.why
            ? html`<button class="why plain" id="iso-why" aria-expanded=${more} @click=${() => { more = !more; draw(); }}><span>From the ${iso.why}</span></button>`
            : html`<p class="why soft">${turn.t !== null ? whereabouts(at) : iso ? `From the ${NAMES[iso.corner]}` : ''}</p>`}</div>
          <div class="bit shown" role="group" aria-label="Shown">
            ${here.map((system) => html`<button id="iso-system-${system}" aria-pressed=${!systems.length || systems.includes(system)} @click=${() => toggle(system, here)}>${sample(system)}${SYSTEMS[system]}</button>`)}
            <button id="iso-grid" aria-pressed=${grid} @click=${() => view({ grid: !grid })}>Grid</button>
            <button id="iso-falls" aria-pressed=${true_fall} @click=${() => view({ true_fall: !true_fall })}>True falls</button>
          </div>
        </div>
      </div>
      <div class="paper ${turn.t === null ? '' : 'turning'}" tabindex="0" role="group" aria-label="Isometric" aria-describedby="iso-keys" @pointerdown=${hand.down} @pointermove=${hand.move} @pointerup=${hand.up} @pointercancel=${hand.up} @pointerleave=${() => point('')} @keydown=${key}>
        <div class="drawn"></div><svg class="turning-picture" aria-hidden="true"></svg>
        ${iso ? nothing : html`<p class="pad">Nothing is drawn yet: draw walls, fixtures and pipes on the plan, or tell them in words.</p>`}
        <div class="scale"><button id="iso-in" aria-label="+ nearer" @click=${() => zoom(1.25)}>+</button><button id="iso-out" aria-label="- farther" @click=${() => zoom(0.8)}>&minus;</button><button id="iso-whole" @click=${fit}>Whole</button></div>
        ${editing ? html`<form class="there" @submit=${enter} @keydown=${(e) => { if (e.key === 'Escape') { e.stopPropagation(); leave(); } }} @focusout=${(e) => { if (editing && !e.currentTarget.contains(e.relatedTarget) && document.hasFocus()) leave(); }}>
          <label for="iso-there">${editing.kind[0].toUpperCase() + editing.kind.slice(1)}</label>
          <input id="iso-there" type="text" autocomplete="off" autocapitalize="off" spellcheck="false" size=${Math.max(9, editing.words.length + 2)} .value=${editing.words} aria-invalid=${editing.wrong !== ''} aria-describedby="iso-there-wrong">
          <span class="bad" id="iso-there-wrong" role="alert">${editing.wrong}</span></form>` : nothing}
        <div class="telling" role="group" aria-label="What the drawing says of it" ?hidden=${!telling.length && !note}>
          ${telling.length ? html`<span>${chosen.id}</span>` : nothing}
          ${telling.map((one) => (kindOf(one) ? html`<button @click=${() => change(one)} aria-label="${kindOf(one)} ${one.words}">${one.words}</button>` : html`<span>${one.words}</span>`))}
          <span role="status">${note}</span>
        </div>
      </div>
      <p class="off" id="iso-keys">Plus and minus look from nearer and farther, 0 shows the whole, arrows move the paper, N and P go from pipe to pipe, Enter changes the chosen one's length.</p>`, el);
  }

  const turn = new Turn(desk, /** @type {any} */ (null));
  draw();
  turn.picture = /** @type {any} */ (el.querySelector('.turning-picture'));
  paper().addEventListener('wheel', (event) => {
    event.preventDefault();
    const by = event.deltaY * (event.deltaMode ? 16 : 1);
    zoom(Math.exp(-by * (event.ctrlKey ? 0.01 : 0.0016)), ...at(event));
  }, { passive: false });
  const size = new ResizeObserver(([{ contentRect: { width, height } }]) => {
    box = { w: width, h: height };
    if (eye.whole) fit(); else place();
  });
  size.observe(paper());
  paper().append(hint);

  return {
    update(changed) {
      const has = (...names) => names.some((one) => changed.has(one));
      if (has('iso')) {
        if (turn.t !== null && Turn.at(turn.t) === state().iso?.corner) turn.hide();
        lay();
      }
      if (has('plan', 'chosen') && turn.t !== null) turn.show(turn.t);
      if (has('chosen') && shownChosen !== state().chosen) { shownChosen = state().chosen; note = ''; light(true); }
      if (has('iso', 'plan', 'chosen', 'view', 'level', 'readOnly', 'version')) draw();
    },
    close() { size.disconnect(); clearTimeout(still); desk.seen = ''; },
  };
}
