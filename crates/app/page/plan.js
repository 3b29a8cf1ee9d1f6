// The plan: walls, fixtures and pipes of one storey, drawn in millimetres, and the hand that works on it.
// @ts-check
import { html, nothing, render, svg } from './vendor/lit-html.js';
import { length } from './desk.js';
import { Hand, takes } from './hand.js';
import { heights } from './heights.js';
import { Underlay } from './underlay.js';

export const name = 'plan', title = 'Plan', parts = ['plan'];

const SYSTEMS = ['waste', 'vent', 'cold', 'hot', 'hot-return', 'gas', 'storm'];
/** Inch or 10 mm by an arrow key, a foot or 250 mm with shift. */
const STEP = { small: [25.4, 10], large: [304.8, 250] };

/** The one hand there is, once the plan lies open. @type {Hand|null} */
export let hand = null;

export function mount(el, desk) {
  let box = { x: -1000, y: -1000, w: 6000, h: 6000 };
  let fitted = false, known = false;
  /** @type {Map<number, [number, number]>} */
  const fingers = new Map();
  let panning = null, pinch = 0;
  const body = document.createElement('div');
  body.className = 'paper';
  const tools = document.createElement('div');
  tools.className = 'hand';
  const begin = document.createElement('p');
  begin.className = 'begin row';
  begin.hidden = true;
  render(html`Nothing stands anywhere yet: heights are told from a floor.
    <button id="first-level" @click=${() => desk.edit({ do: 'add', words: "level main floor 0'" })}>Begin with a main floor</button>`, begin);
  const ask = document.createElement('div');
  ask.className = 'heights';
  el.append(tools, begin, body, ask);
  hand = new Hand(desk, () => { draw(); desk.set({ hand: { tool: hand?.tool, run: hand?.run, kind: hand?.kind, points: hand?.points.length } }); bar(); });
  const me = hand;
  const underlay = new Underlay(desk, () => { draw(); bar(); });

  const sheet = () => /** @type {SVGSVGElement|null} */ (body.querySelector('svg.sheet'));
  /** Millimetres in a pixel. */
  const pixel = () => box.w / Math.max(1, body.clientWidth);
  const within = (event) => pixel() * (event?.pointerType === 'touch' ? 24 : 12);

  function point(event) {
    const r = body.getBoundingClientRect();
    return /** @type {[number, number]} */ ([box.x + (event.clientX - r.left) * pixel(), -(box.y + (event.clientY - r.top) * pixel())]);
  }

  /** The storey on which most stands is shown first. */
  function busiest(plan) {
    const count = plan.levels.map((_, level) => plan.walls.filter((one) => one.level === level).length + plan.fixtures.filter((one) => one.level === level).length);
    return Math.max(0, count.indexOf(Math.max(...count)));
  }

  function fit() {
    const plan = desk.state.plan;
    if (!plan || !body.clientWidth) return;
    const all = [];
    for (const wall of plan.walls) if (wall.level === desk.state.level) all.push(wall.from, wall.to);
    for (const fixture of plan.fixtures) if (fixture.level === desk.state.level) all.push(fixture.at);
    for (const pipe of me.shown()) all.push(plan.nodes[pipe.from].at, plan.nodes[pipe.to].at);
    if (!all.length) all.push([0, 0], [4000, 3000]);
    const xs = all.map((p) => p[0]), ys = all.map((p) => -p[1]);
    const [x, y] = [Math.min(...xs), Math.min(...ys)];
    const [w, h] = [Math.max(...xs) - x, Math.max(...ys) - y];
    const ratio = body.clientWidth / Math.max(1, body.clientHeight);
    const width = Math.max(w + 900, (h + 900) * ratio, 1500);
    box = { w: width, h: width / ratio, x: x + w / 2 - width / 2, y: y + h / 2 - width / ratio / 2 };
    fitted = all.length > 2;
  }

  function zoom(by, at) {
    const c = at ?? [box.x + box.w / 2, -(box.y + box.h / 2)];
    const w = Math.min(200000, Math.max(300, box.w * by));
    by = w / box.w;
    box = { w, h: box.h * by, x: c[0] - (c[0] - box.x) * by, y: -c[1] - (-c[1] - box.y) * by };
    draw();
  }

  function draw() {
    const { plan, level, chosen, metric, told } = desk.state;
    // Before it is laid out there is no measure.
    if (!plan || !body.clientWidth || !body.clientHeight) return;
    if (!fitted) fit();
    // What was in the middle stays there when the paper changes its shape.
    const high = box.w * body.clientHeight / body.clientWidth;
    box = { ...box, y: box.y + (box.h - high) / 2, h: high };
    const px = pixel();
    const lit = desk.lit();
    const cursor = me.at && me.tool !== 'choose' ? [me.at[0], -me.at[1]] : null;
    const snap = told?.snap?.at && me.tool !== 'choose' ? told.snap : null;
    const sees = inSight(box), here = plan.fixtures.filter((one) => one.level === level && sees(one.at, Math.max(...one.size)));
    const pipes = me.shown().filter((pipe) => sees(plan.nodes[pipe.from].at, 0, plan.nodes[pipe.to].at));
    const traced = me.points.map((p) => [p[0], -p[1]]);
    render(svg`<svg class="sheet" tabindex="0" role="application" aria-label="Plan of ${plan.levels[level]?.name ?? 'the job'}: arrow keys move the pencil, Enter presses it, letters pick the tools"
        viewBox="${box.x} ${box.y} ${box.w} ${box.h}" preserveAspectRatio="xMidYMid meet">
      ${underlay.draw(level)}
      ${plan.walls.filter((wall) => wall.level === level && sees(wall.from, wall.thick, wall.to)).map((wall) => svg`<path class="wall" d=${quad(wall)}/>`)}
      ${plan.openings.filter((one) => one.level === level).map((one) => svg`<path class="opening" d=${gap(plan, one)}/>`)}
      ${plan.bodies.map((one) => svg`<path class="body" d="M ${one.corners.map((p) => `${p[0]} ${-p[1]}`).join(' L ')} Z"><title>${one.tag}</title></path>`)}
      ${plan.rooms.filter((room) => room.level === level).map((room) => svg`<text x=${room.at[0]} y=${-room.at[1]} font-size=${px * 14}>${room.text}</text>`)}
      ${shown(here, chosen, plan.clear, px)}
      ${pipes.length > MANY ? bundles(plan, pipes, lit) : nothing}
      ${(pipes.length > MANY ? pipes.filter((pipe) => lit.has(pipe.id)) : pipes).map((pipe) => pipeLine(plan, pipe, lit, px))}
      ${here.filter((one) => large(one, px)).map((one) => tag(one, px))}
      ${me.tool === 'pipe' ? here.flatMap((one) => one.ports.filter((port) => takes(me.kind, port.name)).map((port) => svg`
        <circle class="port sys-${me.kind} ${port.reached ? 'reached' : ''}" cx=${port.at[0]} cy=${-port.at[1]} r=${px * 6}><title>${one.tag}.${port.name}</title></circle>`)) : nothing}
      ${sides(plan, level, chosen, metric, px)}
      ${traced.length && cursor ? svg`<path class="ghost" d=${me.tool === 'room' ? `M ${traced[0][0]} ${traced[0][1]} H ${cursor[0]} V ${cursor[1]} H ${traced[0][0]} Z` : `M ${[...traced, cursor].map((p) => p.join(' ')).join(' L ')}`}/>
        <text class="measure" x=${cursor[0]} y=${cursor[1] - px * 14} font-size=${px * 14}>${measure(traced, cursor, me.tool, metric)}</text>` : nothing}
      ${cursor ? svg`<path class="cursor" d="M ${cursor[0] - px * 10} ${cursor[1]} h ${px * 20} M ${cursor[0]} ${cursor[1] - px * 10} v ${px * 20}"/>` : nothing}
      ${snap ? svg`<circle class="cursor" cx=${snap.at[0]} cy=${-snap.at[1]} r=${px * 7}/><text x=${snap.at[0]} y=${-snap.at[1] - px * 14} font-size=${px * 13}>${snap.why}</text>` : nothing}
    </svg>
    `, body);
    begin.hidden = plan.levels.length > 0 || desk.state.readOnly;
    if (!body.querySelector('.scale')) {
      const scale = document.createElement('div');
      scale.className = 'scale';
      body.append(scale);
      render(html`<button @click=${() => zoom(0.75)} aria-label="Nearer">+</button><button @click=${() => zoom(1.33)} aria-label="Farther">−</button><button @click=${() => { fit(); draw(); }}>Whole</button>`, scale);
    }
  }

  function bar() {
    const { plan, stock, level, readOnly } = desk.state;
    if (readOnly) { render(levels(plan, level), tools); return; }
    const tool = (id, words, kind = '') => html`<button id="tool-${id}" aria-pressed=${me.tool === id && (!kind || me.kind === kind)} @click=${() => me.take(me.tool === id ? 'choose' : id, kind)}>${words}</button>`;
    render(html`<div class="row" role="toolbar" aria-label="What to draw">
      ${levels(plan, level)}
      ${tool('choose', 'Choose')}${tool('room', 'Room')}${tool('wall', 'Wall')}${tool('door', 'Door')}${tool('window', 'Window')}
      <label>Fixture <select id="kinds" aria-label="Fixture to place" @change=${(event) => { if (event.target.value) { me.take('fixture', event.target.value); } }}>
        <option value="" .selected=${me.tool !== 'fixture'}>which?</option>
        ${(stock?.kinds ?? []).map((kind) => html`<option value=${kind.name} .selected=${me.tool === 'fixture' && me.kind === kind.name}>${kind.name.replaceAll('-', ' ')}</option>`)}
      </select></label>
      ${SYSTEMS.map((system) => html`<button id="pipe-${system}" class="system" aria-pressed=${me.tool === 'pipe' && me.kind === system} @click=${() => me.take(me.tool === 'pipe' && me.kind === system ? 'choose' : 'pipe', system)}>${system.replace('-', ' ')}</button>`)}
      ${underlay.bar(me)}
    </div>`, tools);
  }

  const levels = (plan, level) => (plan && plan.levels.length > 1 ? html`<label>Level <select id="level" @change=${(event) => { desk.set({ level: Number(event.target.value) }); fitted = false; draw(); }}>
      ${plan.levels.map((one, at) => html`<option value=${at} .selected=${at === level}>${one.name}</option>`)}</select></label>` : nothing);

  body.addEventListener('pointerdown', async (event) => {
    if (/** @type {Element} */ (event.target).closest('.scale')) return;
    body.setPointerCapture(event.pointerId);
    sheet()?.focus({ preventScroll: true });
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    if (fingers.size === 2) { me.held = null; panning = null; desk.untry(); pinch = spread(); return; }
    const took = !desk.state.readOnly || me.tool === 'choose' ? await me.down(point(event), within(event)) : false;
    if (event.button === 1 || !took) panning = { x: event.clientX, y: event.clientY, box: { ...box } };
  });
  const spread = () => { const [a, b] = [...fingers.values()]; return Math.hypot(a[0] - b[0], a[1] - b[1]); };
  body.addEventListener('pointermove', (event) => {
    if (fingers.has(event.pointerId)) fingers.set(event.pointerId, [event.clientX, event.clientY]);
    if (fingers.size === 2) {
      const now = spread();
      const [a, b] = [...fingers.values()];
      zoom(pinch / now, point({ clientX: (a[0] + b[0]) / 2, clientY: (a[1] + b[1]) / 2 }));
      pinch = now;
      return;
    }
    if (panning) {
      const px = panning.box.w / Math.max(1, body.clientWidth);
      box.x = panning.box.x - (event.clientX - panning.x) * px;
      box.y = panning.box.y - (event.clientY - panning.y) * px;
      draw();
      return;
    }
    if (!desk.state.readOnly) me.move(point(event), within(event));
  });
  const lift = async (event) => {
    const two = fingers.size > 1;
    const known = fingers.delete(event.pointerId);
    if (panning || two || !known) { panning = null; return; }
    if (!desk.state.readOnly) await me.up(point(event), within(event));
  };
  body.addEventListener('pointerup', lift);
  body.addEventListener('pointercancel', () => { fingers.clear(); panning = null; me.held = null; desk.untry(); });
  body.addEventListener('wheel', (event) => { event.preventDefault(); zoom(event.deltaY > 0 ? 1.15 : 1 / 1.15, point(event)); }, { passive: false });
  body.addEventListener('dblclick', () => { if (me.tool === 'wall') me.finish(within(null)); });

  body.addEventListener('keydown', async (event) => {
    const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const arrow = arrows[event.key];
    const plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    if (arrow) {
      event.preventDefault();
      const by = (event.shiftKey ? STEP.large : STEP.small)[desk.state.metric ? 1 : 0];
      const at = me.at ?? [box.x + box.w / 2, -(box.y + box.h / 2)];
      const to = /** @type {[number, number]} */ ([at[0] + arrow[0] * by, at[1] + arrow[1] * by]);
      if (me.tool === 'choose') { me.at = to; me.held = null; } else me.move(to, within(null));
      draw();
    } else if (event.key === 'Enter' && me.at) {
      event.preventDefault();
      if (me.tool === 'wall' && event.shiftKey) { await me.finish(within(null)); return; }
      const again = me.points.length > 0;
      if (!again || me.tool === 'wall') await me.down(me.at, within(null));
      if (me.tool !== 'room' && me.tool !== 'measure' || again) await me.up(me.at, within(null));
    } else if (event.key === 'Escape') {
      me.take('choose');
    } else if (event.key === 'Delete' && desk.state.chosen && plain) {
      const { chosen } = desk.state;
      desk.choose(null);
      await desk.edit({ do: 'delete', line: chosen.line });
    } else if (plain && /^[\d.]$/.test(event.key) && me.tool === 'pipe' && me.run) {
      event.preventDefault();
      const say = /** @type {HTMLInputElement|null} */ (document.querySelector('#say'));
      if (say) { say.value = event.key; say.focus(); }
    } else if (plain && event.key === '+') zoom(0.75);
    else if (plain && event.key === '-') zoom(1.33);
    else if (plain && event.key === '0') { fit(); draw(); }
  });
  const watch = new ResizeObserver(() => draw());
  watch.observe(body);

  return {
    update(changed) {
      if (['plan', 'chosen', 'level', 'told', 'underlay'].some((part) => changed.has(part))) {
        const { plan } = desk.state;
        if (plan && !known) { known = true; desk.state.level = busiest(plan); }
        if (plan && desk.state.level >= plan.levels.length) desk.state.level = 0;
        if (changed.has('plan') && !fitted) fit();
        draw();
      }
      if (changed.has('stock') || changed.has('plan') || changed.has('level')) bar();
      if (changed.has('doubts') || changed.has('text')) heights(ask, desk);
    },
    close() { watch.disconnect(); me.leave(); hand = null; },
    within: () => within(null),
  };
}

/** Whether what lies at a place, or between two, and reaches so far round them is in sight. */
const inSight = (box) => (a, reach, b = a) => Math.max(a[0], b[0]) + reach >= box.x && Math.min(a[0], b[0]) - reach <= box.x + box.w
  && Math.max(-a[1], -b[1]) + reach >= box.y && Math.min(-a[1], -b[1]) - reach <= box.y + box.h;

/** More pipes than this in sight are drawn as one line a system, since each is hardly seen by itself; our own choice. */
const MANY = 1500;
/** A fixture so small on the screen, pixels, has no tag, and one of the second size is drawn with others as one; our own choice. */
const TAGGED = 8, APART = 4;
const large = (one, px) => Math.max(...one.size) >= TAGGED * px;

/** Fixtures, those that are hardly seen in one path. */
function shown(here, chosen, clear, px) {
  const apart = (one) => Math.max(...one.size) >= APART * px || (chosen?.kind === 'fixture' && chosen.id === one.tag);
  const others = here.filter((one) => !apart(one)).map((one) => outline(one)(one.size[0] / 2, ...depth(one))).join(' ');
  return svg`${here.filter(apart).map((one) => fixture(one, chosen, clear))}${others ? svg`<g class="fixture"><path d=${others}/></g>` : nothing}`;
}

/** Very many pipes, by their systems. */
function bundles(plan, pipes, lit) {
  /** @type {Map<string, string[]>} */ const by = new Map();
  for (const pipe of pipes) {
    if (lit.has(pipe.id)) continue;
    const [a, b] = [plan.nodes[pipe.from].at, plan.nodes[pipe.to].at], all = by.get(pipe.system);
    // A plumb pipe is a dot.
    const d = `M ${a[0]} ${-a[1]} L ${b[0] + (a[0] === b[0] && a[1] === b[1] ? 1 : 0)} ${-b[1]}`;
    if (all) all.push(d); else by.set(pipe.system, [d]);
  }
  return [...by].map(([system, all]) => svg`<path class="pipe sys-${system}" d=${all.join(' ')}/>`);
}

const quad = (wall) => {
  const [a, b, [x, y], t] = [wall.from, wall.to, wall.into, wall.thick];
  return `M ${a[0]} ${-a[1]} L ${b[0]} ${-b[1]} L ${b[0] + x * t} ${-(b[1] + y * t)} L ${a[0] + x * t} ${-(a[1] + y * t)} Z`;
};

const gap = (plan, one) => {
  const wall = plan.walls[one.wall];
  if (!wall) return '';
  const long = Math.hypot(wall.to[0] - wall.from[0], wall.to[1] - wall.from[1]) || 1;
  const way = [(wall.to[0] - wall.from[0]) / long, (wall.to[1] - wall.from[1]) / long];
  const end = (by, deep) => `${one.at[0] + way[0] * by + wall.into[0] * deep} ${-(one.at[1] + way[1] * by + wall.into[1] * deep)}`;
  return `M ${end(-one.wide / 2, 0)} L ${end(one.wide / 2, 0)} L ${end(one.wide / 2, wall.thick)} L ${end(-one.wide / 2, wall.thick)} Z`;
};

/** Fixtures that somebody stands or sits at, for which codes ask room. */
const SAT_AT = ['water-closet', 'bidet', 'lavatory', 'urinal'];

/** From where to where a fixture reaches out of its wall. */
const depth = (one) => (one.centred ? [-one.size[1] / 2, one.size[1] / 2] : [0, one.size[1]]);

/** A rectangle before a fixture's wall: half as wide as told, from so near to so far. */
function outline(one) {
  const at = (side, out) => `${one.at[0] + one.way[0] * out - one.way[1] * side} ${-(one.at[1] + one.way[1] * out + one.way[0] * side)}`;
  return (half, near, farther) => `M ${at(-half, near)} L ${at(half, near)} L ${at(half, farther)} L ${at(-half, farther)} Z`;
}

function fixture(one, chosen, clear) {
  const [w, d] = one.size, [from] = depth(one), box = outline(one);
  const lit = chosen?.kind === 'fixture' && chosen.id === one.tag;
  // The room that the code asks in front and beside, shown while the fixture is chosen.
  const room = lit && clear && SAT_AT.includes(one.kind) && clear.front !== null ? box(clear.side ?? w / 2, from, from + d + clear.front) : '';
  return svg`<g class="fixture ${lit ? 'lit' : ''}" data-tag=${one.tag}><title>${one.tag} ${one.kind.replaceAll('-', ' ')}</title>
    <path d=${box(w / 2, from, from + d)}/>
    ${room ? svg`<path class="room" d=${room}><title>${clear.by}</title></path>` : nothing}
    </g>`;
}

/** Its tag, written over the pipes. */
function tag(one, px) {
  const out = one.centred ? 0 : one.size[1] / 2;
  return svg`<text x=${one.at[0] + one.way[0] * out} y=${-(one.at[1] + one.way[1] * out) + px * 5} font-size=${px * 13}>${one.tag}</text>`;
}

function pipeLine(plan, pipe, lit, px) {
  const [a, b] = [plan.nodes[pipe.from].at, plan.nodes[pipe.to].at];
  const plumb = Math.hypot(a[0] - b[0], a[1] - b[1]) < 1;
  const cls = `pipe sys-${pipe.system} ${lit.has(pipe.id) ? 'lit' : ''}`;
  if (plumb) return svg`<circle class=${cls} data-pipe=${pipe.id} cx=${a[0]} cy=${-a[1]} r=${px * 5}><title>${pipe.run}, plumb</title></circle>`;
  return svg`<path class=${cls} data-pipe=${pipe.id} d="M ${a[0]} ${-a[1]} L ${b[0]} ${-b[1]}"><title>${pipe.run}, ${pipe.size ?? 'no size'}</title></path>`;
}

/** The chosen wall's stretches with their lengths. */
function sides(plan, level, chosen, metric, px) {
  if (chosen?.kind !== 'wall') return nothing;
  const wall = plan.traced.find((one) => one.line === chosen.line && one.level === level);
  if (!wall) return nothing;
  return wall.points.slice(1).map((b, at) => {
    const a = wall.points[at];
    const here = at + 1 === chosen.side;
    return svg`<path class="pipe ${here ? 'lit' : ''}" d="M ${a[0]} ${-a[1]} L ${b[0]} ${-b[1]}"/>
      <text x=${(a[0] + b[0]) / 2} y=${-(a[1] + b[1]) / 2 - px * 6} font-size=${px * 13}>${length(Math.hypot(a[0] - b[0], a[1] - b[1]), metric)}</text>`;
  });
}

function measure(traced, cursor, tool, metric) {
  const last = traced[traced.length - 1];
  const [dx, dy] = [Math.abs(cursor[0] - last[0]), Math.abs(cursor[1] - last[1])];
  return tool === 'room' ? `${length(dx, metric)} by ${length(dy, metric)}` : length(Math.hypot(dx, dy), metric);
}
