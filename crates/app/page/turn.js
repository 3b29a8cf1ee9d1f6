// Where one stands: the small plan with an eye at its corner, and the turn from one corner to the next, drawn as plain centre
// lines. The way points come onto paper is that of crates/draw/src/project.rs, for any angle between its four corners.
// @ts-check
import { svg } from './vendor/lit-html.js';

/** The corners in the order in which one walks round the building, a quarter turn apart. */
export const CORNERS = ['sw', 'se', 'ne', 'nw'];
/** The corners' names for the ear. */
export const NAMES = { sw: 'south-west', se: 'south-east', ne: 'north-east', nw: 'north-west' };
const COS_30 = Math.cos(Math.PI / 6);
/** What is released so near to a corner stands at it. Our own choice. */
const NEAR = 0.04;

/**
 * The place on paper, x right and y down, of a point in space, seen `t` corners round from the south-west. At whole numbers it is
 * the isometric; between them the building is turned about its upright and looked at from the same height, so uprights stay
 * upright and as long as they are.
 * @param {number[]} p east, north, up @param {number} t @returns {[number, number]}
 */
export function onPaper([x, y, z], t) {
  const c = Math.cos(t * Math.PI / 2), s = Math.sin(t * Math.PI / 2);
  const right = x * c + y * s, left = y * c - x * s;
  return [(right - left) * COS_30, -((right + left) / 2 + z)];
}

/** In words where one stands. @param {number} t */
export function whereabouts(t) {
  const whole = Math.round(t), part = t - Math.floor(t);
  if (Math.abs(t - whole) < 1e-6) return `from ${CORNERS[whole % 4].toUpperCase()}`;
  const [from, to] = [0, 1].map((more) => CORNERS[(Math.floor(t) + more) % 4].toUpperCase());
  const far = Math.abs(part - 0.5) < 0.02 ? `halfway between ${from} and ${to}` : `${Math.round(part * 100)} % of the way from ${from} to ${to}`;
  return `${far}: not to scale`;
}

/** The line of walls, as path data, x east and y down the page. */
function wallLines(walls) { return walls.map((wall) => `M${wall.from[0]} ${-wall.from[1]}L${wall.to[0]} ${-wall.to[1]}`).join(''); }

/**
 * The building's outline, north up, with an eye where one stands; nothing where no walls and no pipes are told.
 * @param {any} plan @param {number} level @param {number} t corners round from the south-west
 */
export function standingPlan(plan, level, t) {
  const here = (plan?.walls ?? []).filter((wall) => wall.level === level);
  const walls = here.length ? here : plan?.walls ?? [];
  const points = walls.length ? walls.flatMap((wall) => [wall.from, wall.to]) : (plan?.nodes ?? []).map((node) => node.at);
  if (!points.length) return svg`<svg class="from-here" viewBox="0 0 80 90" aria-hidden="true"></svg>`;
  const xs = points.map((p) => p[0]), ys = points.map((p) => -p[1]);
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const [cx, cy, half] = [(x0 + x1) / 2, (y0 + y1) / 2, Math.max(x1 - x0, y1 - y0, 1000) / 2];
  const angle = t * Math.PI / 2, k = 21 / half;
  const sight = Math.PI * 1.25 + angle;
  const [ex, ey] = [40 + 34 * Math.cos(sight), 45 - 38 * Math.sin(sight)];
  // Two lines of sight, and the eye they come from.
  const to = Math.atan2(45 - ey, 40 - ex);
  const ray = (by) => `M${ex} ${ey}L${ex + 20 * Math.cos(to + by)} ${ey + 20 * Math.sin(to + by)}`;
  return svg`<svg class="from-here" viewBox="0 0 80 90" aria-hidden="true">
    <path class="building" transform="translate(40 45) scale(${k}) translate(${-cx} ${-cy})" d=${walls.length ? wallLines(walls) : `M${x0} ${y0}H${x1}V${y1}H${x0}Z`}></path>
    <path class="ray" d=${ray(0.42) + ray(-0.42)}></path><circle class="eye" cx=${ex} cy=${ey} r="4.5"></circle>
    <text x="40" y="13">N</text></svg>`;
}

/** The picture while one turns: built anew at every angle, three or four paths and some tags. */
export class Turn {
  /** @param {any} desk @param {SVGSVGElement} picture an empty element that covers the paper */
  constructor(desk, picture) {
    this.desk = desk;
    this.picture = picture;
    /** Corners round from the south-west, or nothing while the drawing itself is shown. @type {number|null} */
    this.t = null;
    this.due = 0;
  }

  /** The nearest corner, where what is shown stands at one. @param {number} t */
  static at(t) {
    const near = Math.round(t);
    return Math.abs(t - near) <= NEAR ? CORNERS[near % 4] : null;
  }

  /** Shows the building from there, at the next picture of the screen. @param {number} t */
  show(t) {
    this.t = t;
    this.picture.classList.add('shown');
    if (!this.due) this.due = requestAnimationFrame(() => { this.due = 0; if (this.t !== null) this.draw(); });
  }

  hide() {
    this.t = null;
    this.picture.classList.remove('shown');
    this.picture.replaceChildren();
  }

  /** Draws: 1 unit is 1 mm of paper at the scale of the drawing, the job's origin at 0, 0. */
  draw() {
    const { plan, view, iso } = this.desk.state;
    const scale = Number(/data-scale="(\d+)"/.exec(iso?.svg ?? '')?.[1] ?? 48), t = this.t ?? 0;
    if (!plan) return;
    const at = (p) => onPaper(p, t).map((mm) => mm / scale);
    const line = (a, b) => { const [p, q] = [at(a), at(b)]; return `M${p[0].toFixed(3)} ${p[1].toFixed(3)}L${q[0].toFixed(3)} ${q[1].toFixed(3)}`; };
    const parts = [];
    const path = (kind, d) => {
      if (!d) return;
      const one = document.createElementNS('http://www.w3.org/2000/svg', 'path');
      one.setAttribute('class', kind);
      one.setAttribute('d', d);
      parts.push(one);
    };
    const floor = (level) => plan.levels[level]?.floor ?? 0;
    path('floor', plan.walls.map((wall) => {
      const z = floor(wall.level), by = wall.into.map((part) => part * wall.thick);
      const other = (p) => [p[0] + by[0], p[1] + by[1], z];
      return line([...wall.from, z], [...wall.to, z]) + line(other(wall.from), other(wall.to));
    }).join(''));
    const lit = this.desk.lit(), ends = (pipe) => line(plan.nodes[pipe.from].at, plan.nodes[pipe.to].at);
    const shown = plan.pipes.filter((pipe) => !view.systems.length || view.systems.includes(pipe.system));
    path('lit-halo', shown.filter((pipe) => lit.has(pipe.id)).map(ends).join(''));
    for (const system of new Set(shown.map((pipe) => pipe.system))) {
      for (const old of [false, true]) {
        path(`pen-${system}${old ? ' pen-existing' : ''}`, shown.filter((pipe) => pipe.system === system && pipe.existing === old).map(ends).join(''));
      }
    }
    const frame = this.frame(plan, at, scale);
    // Tags stay as large as the page's small words, however far the building is; one that would lie on another is left out.
    const size = 13 * Math.max(frame[2] / this.picture.clientWidth, frame[3] / this.picture.clientHeight);
    /** @type {number[][]} */ const taken = [];
    /** @type {string[]} */ const anchors = [];
    for (const fixture of plan.fixtures) {
      const [x, y] = at([...fixture.at, floor(fixture.level)]);
      anchors.push(`M${x - 1} ${y}h2M${x} ${y - 1}v2`);
      const box = [x, y - size / 2, x + size * 0.6 * (fixture.tag.length + 1), y + size / 2];
      if (taken.some((other) => box[0] < other[2] && box[2] > other[0] && box[1] < other[3] && box[3] > other[1])) continue;
      taken.push(box);
      const tag = document.createElementNS('http://www.w3.org/2000/svg', 'text');
      tag.setAttribute('x', String(x + size * 0.4));
      tag.setAttribute('y', String(y + size * 0.35));
      tag.textContent = fixture.tag;
      parts.push(tag);
    }
    path('anchor', anchors.join(''));
    this.picture.replaceChildren(...parts);
    this.picture.setAttribute('viewBox', frame.join(' '));
    this.picture.setAttribute('font-size', String(size));
  }

  /** A frame that holds the building from every side, so that it does not grow or shrink while it turns. */
  frame(plan, at, scale) {
    const points = [...plan.nodes.map((node) => node.at),
      ...plan.walls.flatMap((wall) => [wall.from, wall.to].map((p) => [...p, plan.levels[wall.level]?.floor ?? 0])),
      ...plan.fixtures.map((fixture) => [...fixture.at, plan.levels[fixture.level]?.floor ?? 0])];
    if (!points.length) return [0, 0, 100, 100];
    const middle = [0, 1, 2].map((i) => {
      let [low, high] = [Infinity, -Infinity];
      for (const p of points) { low = Math.min(low, p[i]); high = Math.max(high, p[i]); }
      return { at: (low + high) / 2 };
    });
    let [across, up] = [0, 0];
    for (const p of points) {
      // A level circle becomes an ellipse, sqrt(3/2) and sqrt(1/2) of its radius.
      const reach = Math.hypot(p[0] - middle[0].at, p[1] - middle[1].at);
      across = Math.max(across, reach * Math.sqrt(1.5));
      up = Math.max(up, reach * Math.SQRT1_2 + Math.abs(p[2] - middle[2].at));
    }
    [across, up] = [across / scale + 8, up / scale + 6];
    const [x, y] = at(middle.map((axis) => axis.at));
    return [x - across, y - up, 2 * across, 2 * up];
  }
}
