// What the hand does on the plan: the tool it holds, the gesture it is in the middle of. Points are [east, north] in mm; what a
// gesture means in words the program says. The same calls come from mouse, pen, finger and the keys.
// @ts-check

/** @typedef {[number, number]} Point */

const far = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

export class Hand {
  /** @param {import('./desk.js').Desk} desk @param {() => void} changed */
  constructor(desk, changed) {
    this.desk = desk;
    this.changed = changed;
    /** `choose`, `room`, `wall`, `door`, `window`, `fixture`, `pipe`, `copy`, `measure` */
    this.tool = 'choose';
    this.kind = '';
    this.run = '';
    /** @type {Point[]} */ this.points = [];
    /** @type {Point|null} */ this.at = null;
    /** @type {any} */ this.held = null;
    this.free = false;
    /** A port passed on the way is caught, and the run goes on. */
    this.catching = false;
    this.measured = null;
    /** Where the walked run has come to, mm. @type {number[]|null} */
    this.end = null;
  }

  take(tool, kind = '', run = '') {
    this.leave();
    if (tool !== 'choose' && tool !== 'copy' && !run) this.desk.choose(null);
    this.tool = tool; this.kind = kind; this.run = run; this.points = []; this.end = null;
    this.changed();
  }

  /** Lets go of what is half done. */
  leave() {
    this.points = []; this.held = null; this.run = '';
    this.desk.untry();
  }

  get level() { return this.desk.state.plan?.levels[this.desk.state.level]?.name ?? ''; }

  async edit(edit) {
    const seen = await this.desk.edit(edit);
    if (seen.told?.run && this.tool === 'pipe') {
      this.run = seen.told.run;
      if (seen.told.snap) this.end = seen.told.snap.at;
    }
    this.changed();
    return seen;
  }

  /** What lies under a point: a port, a fixture, a pipe, a stretch of wall. */
  under(at, within) {
    const { plan, level } = this.desk.state;
    if (!plan) return null;
    const reach = (one, far) => (far <= within && (!best || far < best.far) ? { ...one, far } : best);
    let best = null;
    for (const fixture of plan.fixtures) {
      if (fixture.level !== level) continue;
      for (const port of fixture.ports) best = reach({ kind: 'port', fixture, port }, far(at, port.at));
    }
    if (this.tool === 'pipe' && best) return best;
    for (const pipe of this.shown()) best = reach({ kind: 'pipe', pipe }, away(at, plan.nodes[pipe.from].at, plan.nodes[pipe.to].at));
    if (best?.kind === 'pipe') return best;
    for (const fixture of plan.fixtures) if (fixture.level === level && inside(fixture, at)) return { kind: 'fixture', fixture };
    for (const wall of plan.traced) {
      if (wall.level !== level) continue;
      for (let i = 1; i < wall.points.length; i++) {
        best = reach({ kind: 'wall', wall, side: i }, away(at, wall.points[i - 1], wall.points[i]));
      }
    }
    return best;
  }

  /** The pipes that lie on the storey shown. */
  shown() {
    const { plan, level } = this.desk.state;
    const [low, high] = zone(plan, level);
    return plan.pipes.filter((pipe) => {
      const a = plan.nodes[pipe.from].at[2], b = plan.nodes[pipe.to].at[2];
      return Math.max(a, b) >= low && Math.min(a, b) < high;
    });
  }

  async down(at, within) {
    this.at = at;
    if (this.tool === 'choose') {
      const under = this.under(at, within);
      this.held = under && (under.kind === 'fixture' || under.kind === 'wall') ? { ...under, from: at, moved: false } : null;
      if (!under) { this.desk.choose(null); return false; }
      const { desk } = this;
      if (under.kind === 'pipe') desk.choose({ kind: 'pipe', id: under.pipe.id, line: under.pipe.line });
      else if (under.kind === 'wall') desk.choose({ kind: 'wall', id: `wall ${under.wall.line}`, line: under.wall.line, side: under.side });
      else desk.choose({ kind: 'fixture', id: under.fixture.tag, line: under.fixture.line });
      return true;
    }
    if (this.tool === 'room' || this.tool === 'measure') {
      if (!this.points.length) { this.points = [at]; this.pressed = true; this.changed(); return true; }
    }
    return this.tool !== 'choose';
  }

  move(at, within) {
    this.at = at;
    const { desk, level } = this;
    if (this.tool === 'choose') {
      const held = this.held;
      if (held && far(at, held.from) > within / 2) {
        held.moved = true;
        desk.trial(moved(held, at, within));
      }
    } else if (this.tool === 'fixture') desk.trial({ do: 'fixture', kind: this.kind, level, at, within });
    else if (this.tool === 'copy') desk.trial({ do: 'copy', tag: this.kind, level, at, within });
    else if (this.tool === 'pipe' && this.run) desk.trial(this.step(at, within));
    this.changed();
  }

  /** Where a walked run goes on to: into what lies under the pointer, or toward it. */
  step(at, within) {
    const under = this.under(at, within);
    const other = under && (under.kind === 'port' ? takes(this.kind, under.port.name) : under.kind === 'pipe' && under.pipe.run !== this.run && meets(this.kind, under.pipe.system));
    if (other) return { do: 'meet', run: this.run, at, within };
    return { do: 'pull', run: this.run, to: at, within, free: this.free };
  }

  async up(at, within) {
    this.at = at;
    const { level } = this;
    switch (this.tool) {
      case 'choose': {
        const held = this.held;
        this.held = null;
        // Where it is let go counts: the last move on the way there may never have been told.
        if (held?.moved) await this.edit(moved(held, at, within));
        return;
      }
      case 'room':
        if (this.points.length && far(at, this.points[0]) > 3 * within) {
          const a = this.points[0];
          this.points = [];
          await this.edit({ do: 'room', level, a, b: at, within });
          this.take('choose');
        }
        return;
      case 'measure':
        if (this.points.length && far(at, this.points[0]) > within) { this.measured = [this.points[0], at]; this.points = []; this.changed(); }
        return;
      case 'wall': {
        const first = this.points[0];
        this.points.push(at);
        if (first && this.points.length > 2 && far(at, first) <= within) await this.finish(within);
        this.changed();
        return;
      }
      case 'door': case 'window':
        await this.edit({ do: 'opening', kind: this.tool, level, at, within });
        return;
      case 'fixture': {
        const seen = await this.edit({ do: 'fixture', kind: this.kind, level, at, within });
        if (!seen.wrong) { this.take('choose'); this.chooseLine(seen.told?.chosen); }
        return;
      }
      case 'copy': {
        const seen = await this.edit({ do: 'copy', tag: this.kind, level, at, within });
        if (!seen.wrong) { this.take('choose'); this.chooseLine(seen.told?.chosen); }
        return;
      }
      case 'pipe': {
        if (!this.run) { await this.edit({ do: 'start', system: this.kind, level, at, within }); return; }
        const under = this.under(at, within);
        if (this.catching && under?.kind === 'port' && takes(this.kind, under.port.name)) { await this.catch(under, within); return; }
        const step = this.step(at, within);
        const seen = await this.edit(step);
        if (!seen.wrong && step.do === 'meet') { this.run = ''; this.changed(); }
        return;
      }
      default:
    }
  }

  /** Walks on until the port is square to the side, and branches off to it from there. */
  async catch({ fixture, port }, within) {
    await this.desk.untry();
    const [e, n] = port.at;
    const run = this.run;
    // A main goes square to its branches: east-west or north-south, whichever is the longer way.
    const here = this.end ?? this.desk.state.plan.runs.find((one) => one.name === run)?.open ?? [e, n];
    const to = Math.abs(e - here[0]) >= Math.abs(n - here[1]) ? [e, here[1]] : [here[0], n];
    const seen = await this.edit({ do: 'pull', run, to, within: 1 });
    // Where it is abreast already, there is nothing to walk.
    if (seen.wrong) this.desk.set({ wrong: '', help: '' });
    await this.edit({ do: 'catch', run, tag: fixture.tag, port: usual(this.kind, fixture) === port.name ? undefined : port.name });
  }

  chooseLine(line) {
    const { plan } = this.desk.state;
    const fixture = plan?.fixtures.find((one) => one.line === line);
    if (fixture) this.desk.choose({ kind: 'fixture', id: fixture.tag, line });
  }

  /** Ends what is being traced. */
  async finish(within) {
    if (this.tool === 'wall' && this.points.length > 1) {
      const points = this.points;
      this.points = [];
      await this.edit({ do: 'wall', level: this.level, points, within });
      this.take('choose');
    } else this.take('choose');
  }

  /** Words typed on the line: a length for the move in hand, a step of the run in hand, or a statement. */
  async say(words, within) {
    const text = words.trim();
    if (!text) return null;
    if (this.tool === 'pipe' && this.run) {
      if (/^[-+]?[\d.]/.test(text)) {
        const to = this.at ?? [0, 0];
        return this.edit({ do: 'pull', run: this.run, to, within, typed: text });
      }
      const seen = await this.edit({ do: 'step', run: this.run, words: text });
      if (!seen.wrong && /^(end|join|cap|continues)\b|through roof/.test(text)) { this.run = ''; this.changed(); }
      return seen;
    }
    return this.edit({ do: 'add', words: text });
  }
}

/** From a point to a stretch, mm. */
export function away(p, a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const long = dx * dx + dy * dy;
  const t = long ? Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long)) : 0;
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

/** Whether a point lies on a fixture. */
function inside(fixture, at) {
  const [x, y] = [at[0] - fixture.at[0], at[1] - fixture.at[1]];
  const out = x * fixture.way[0] + y * fixture.way[1];
  const side = x * -fixture.way[1] + y * fixture.way[0];
  const deep = fixture.size[1];
  const from = fixture.centred ? -deep / 2 : 0;
  return out >= from && out <= from + deep && Math.abs(side) <= fixture.size[0] / 2;
}

/** What is held put elsewhere: a fixture moved, a stretch of wall pushed. */
function moved(held, at, within) {
  return held.kind === 'fixture' ? { do: 'move', tag: held.fixture.tag, at, within } : pushed(held, at, within);
}

/** A stretch of wall moved square to itself. */
function pushed(held, at, within) {
  const [a, b] = [held.wall.points[held.side - 1], held.wall.points[held.side]];
  const long = far(a, b) || 1;
  const left = [-(b[1] - a[1]) / long, (b[0] - a[0]) / long];
  const by = (at[0] - held.from[0]) * left[0] + (at[1] - held.from[1]) * left[1];
  return { do: 'push', line: held.wall.line, side: held.side, by, within };
}

/** Heights between which pipe belongs to a storey: from a little under its floor to a little under the next. */
export function zone(plan, level) {
  const floors = plan.levels.map((one) => one.floor);
  const floor = floors[level] ?? 0;
  const above = Math.min(...floors.filter((one) => one > floor));
  const lowest = floor === Math.min(...floors);
  const under = 600;
  return [lowest ? -Infinity : floor - under, Number.isFinite(above) ? above - under : Infinity];
}

/** Which ports a system ends in. */
export function takes(system, port) {
  const all = { waste: ['drain', 'tee', 'relief'], vent: ['vent', 'tee'], cold: ['cold'], hot: ['hot'], 'hot-return': ['return'], storm: ['drain'], gas: ['gas'] };
  return (all[system] ?? []).includes(port);
}

/** The port that a system goes to by itself. */
function usual(system, fixture) { return takes(system, 'tee') && fixture.ports.some((port) => port.name === 'tee') ? 'tee' : (takes(system, 'drain') ? 'drain' : system); }

/** Whether two systems may join. */
function meets(a, b) { return a === b || (a === 'vent' && b === 'waste') || (a === 'hot-return' && b === 'hot'); }
