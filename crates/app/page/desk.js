// The page's one store: what the program says of the job, what is chosen, which leaves lie open. Everything that changes the
// job goes through here, one request after the other, the latest wish first.
// @ts-check

/** @typedef {{kind: 'pipe'|'fixture'|'node'|'wall'|'line', id: string, line: number, side?: number}} Chosen */

/** Words for one tab, so that it does not start at its own changes. */
const tab = Array.from(crypto.getRandomValues(new Uint8Array(8)), (b) => b.toString(16).padStart(2, '0')).join('');

/** What takes longer is said to be in work, ms. */
const LONG = 500;

export class Desk {
  constructor() {
    /** @type {any} */
    this.state = {
      job: '', version: 0, title: '', undo: false, redo: false, file: '', metric: false, code: null,
      text: '', plan: null, iso: null, answer: null, doubts: [], mistakes: [],
      sizes: null, checks: null, lists: null, stock: null, readOnly: false,
      /** @type {Chosen|null} */ chosen: null,
      view: { corner: '', systems: /** @type {string[]} */ ([]), scale: 0, grid: false, true_fall: false },
      level: 0, wrong: '', help: '', told: null, trial: false, conflict: null, offline: false, working: false,
    };
    /** @type {Set<(changed: Set<string>) => void>} */
    this.hearers = new Set();
    /** Parts that some open leaf shows. @type {Map<string, string[]>} */
    this.wanted = new Map();
    /** At which version each part was seen last. @type {Map<string, number>} */
    this.known = new Map();
    /** Parts as they were told last, by the marks that the program gave them. @type {Map<string, {mark: string, value: any}>} */
    this.held = new Map();
    /** Which place of a crowded drawing is looked at from near, as the program reads it. */
    this.seen = '';
    this.line = Promise.resolve();
    /** The last version made by this hand. */
    this.own = 0;
    /** @type {any} */ this.waiting = null;
    /** @type {EventSource|null} */ this.news = null;
  }

  /** Calls `hear` with the names of what has changed, whenever something has. */
  on(hear) { this.hearers.add(hear); return () => this.hearers.delete(hear); }

  /** Sets some of the state and tells everybody. */
  set(part) {
    const changed = new Set();
    for (const [name, value] of Object.entries(part)) {
      if (this.state[name] !== value) { this.state[name] = value; changed.add(name); }
    }
    if (changed.size) this.hearers.forEach((hear) => hear(changed));
  }

  /** A leaf says which parts of the job it shows; nothing when it is put away. */
  want(leaf, parts) {
    if (parts) this.wanted.set(leaf, parts); else this.wanted.delete(leaf);
  }

  /** Whether a part is that of the job as it stands. */
  fresh(part) { return this.known.get(part) === this.state.version; }

  /**
   * What every answer is to bring along. The best corner is chosen when the job is looked at; while it is changed one stays where one
   * stands.
   */
  show(more = [], staying = true) {
    const parts = new Set(['answer', 'doubts', 'mistakes', 'plan', 'text', ...more]);
    this.wanted.forEach((all) => all.forEach((part) => parts.add(part)));
    const { systems, scale, grid, true_fall } = this.state.view;
    const corner = this.state.view.corner || (staying ? this.state.iso?.corner ?? '' : '');
    const held = [...parts].filter((part) => this.held.has(part)).map((part) => `${part}:${this.held.get(part)?.mark}`).join(',');
    return { parts: [...parts].join(','), corner, systems: systems.join(','), scale, grid, true_fall, seen: this.seen, held };
  }

  at(path) { return `/api/jobs/${encodeURIComponent(this.state.job)}${path}`; }

  /** Asks the program; what goes wrong comes back as words. */
  async ask(path, body) {
    let answer;
    const slow = setTimeout(() => this.set({ working: true }), LONG);
    try {
      answer = await fetch(path, body === undefined ? {} : {
        method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body),
      });
    } catch {
      clearTimeout(slow);
      this.set({ offline: true, working: false });
      return { wrong: 'the program does not answer: is it still running?', help: 'what you typed stays here; start it again and reload' };
    }
    const kind = answer.headers.get('content-type') ?? '';
    const words = kind.startsWith('application/json') ? await answer.json() : { wrong: await answer.text() };
    clearTimeout(slow);
    if (this.state.offline || this.state.working) this.set({ offline: false, working: false });
    return answer.ok ? words : { ...words, wrong: words.wrong || 'that was refused', status: answer.status };
  }

  /** Opens a job of that name and shows it. */
  async open(job) {
    this.state.job = job;
    const stock = await this.ask('/api/stock');
    this.set({ stock, readOnly: stock.read_only === true });
    await this.look();
    this.listen();
  }

  /** Looks at the job anew, with what the open leaves show. */
  async look(more = [], staying = false) {
    const query = new URLSearchParams(Object.entries(this.show(more, staying)).map(([k, v]) => [k, String(v)])), held = new Map(this.held);
    const seen = await this.ask(this.at(`?${query}`));
    this.take(seen, held);
    return seen;
  }

  /** Looks from near at a place of a crowded drawing, or at the whole of it; when its turn has come. @param {string} seen */
  peer(seen) {
    this.seen = seen;
    this.line = this.line.then(() => this.look([], true)).then(() => undefined);
    return this.line;
  }

  /** Takes in what the program said. @param {any} seen @param {Map<string, {mark: string, value: any}>} held what was held when it was asked */
  take(seen, held) {
    if (seen.wrong) { this.set({ wrong: seen.wrong, help: seen.help ?? '', ...(seen.conflict ? { conflict: seen.conflict } : {}) }); return; }
    for (const part of seen.same ?? []) {
      const was = held.get(part);
      if (was) { seen[part] = was.value; this.held.set(part, was); }
    }
    for (const [part, mark] of Object.entries(seen.marks ?? {})) this.held.set(part, { mark: String(mark), value: seen[part] });
    delete seen.same;
    delete seen.marks;
    for (const part of Object.keys(seen)) this.known.set(part, seen.trial ? -1 : seen.version);
    if (seen.iso && this.state.view.corner === '') seen.iso.why ??= this.state.iso?.why ?? null;
    this.set({ ...seen, trial: seen.trial === true, wrong: '', help: '' });
  }

  /** Asks for a change: a gesture or the whole text. Changes are made one after the other. */
  change(what, show = []) {
    this.waiting = null;
    const made = this.state.version;
    const turn = this.line.then(async () => {
      // What was pointed at stood in the text of then, unless only this hand has changed it since.
      const base = this.own >= made ? this.state.version : made;
      const held = new Map(this.held);
      const seen = await this.ask(this.at('/change'), { base, tab, show: this.show(show), ...what });
      this.take(seen, held);
      if (!seen.wrong) this.own = seen.version;
      return seen;
    });
    this.line = turn.catch(() => undefined);
    return turn;
  }

  /** A gesture. */
  edit(edit) { return this.change({ edit }); }

  /** Shows what a gesture would do; of many in a hurry only the latest is asked for. */
  trial(edit) {
    const idle = this.waiting === null;
    this.waiting = edit;
    if (!idle) return;
    this.line = this.line.then(async () => {
      while (this.waiting) {
        const now = this.waiting, held = new Map(this.held);
        const seen = await this.ask(this.at('/change'), { base: this.state.version, tab, trial: true, edit: now, show: this.show() });
        if (this.waiting === null) return;
        if (seen.wrong) this.set({ told: { said: '', why: seen.wrong } }); else this.take(seen, held);
        if (this.waiting === now) this.waiting = null;
      }
    });
  }

  /** Puts away what a trial showed. */
  async untry() {
    this.waiting = null;
    if (this.state.trial) await this.look();
  }

  /** One step back, or forth. */
  back(redo) {
    this.waiting = null;
    const turn = this.line.then(async () => {
      const held = new Map(this.held);
      const seen = await this.ask(this.at('/back'), { base: this.state.version, tab, redo, show: this.show() });
      this.take(seen, held);
      return seen;
    });
    this.line = turn.catch(() => undefined);
    return turn;
  }

  /** Hears of changes by other tabs and programs. */
  listen() {
    this.news?.close();
    const news = new EventSource(this.at('/events'));
    news.addEventListener('version', (event) => {
      const { version, by } = JSON.parse(event.data);
      if (by !== tab && version !== this.state.version) this.line = this.line.then(() => this.look()).then(() => undefined);
    });
    // After the program was away, something may have happened meanwhile.
    let away = false;
    news.onerror = () => { away = true; this.set({ offline: true }); };
    news.onopen = () => { if (away) { away = false; this.set({ offline: false }); this.look(); } };
    this.news = news;
  }

  /** Chooses a thing, wherever it was pointed at. */
  choose(chosen) { this.set({ chosen }); }

  /** The pipe of that id, with its ends. */
  pipe(id) {
    const plan = this.state.plan;
    return plan?.pipes.find((pipe) => pipe.id === id) ?? null;
  }

  /** What is chosen, as ids of pipes that light up. */
  lit() {
    const { chosen, plan } = this.state;
    if (!chosen || !plan) return new Set();
    if (chosen.kind === 'pipe') return new Set([chosen.id]);
    if (chosen.kind === 'line' || chosen.kind === 'node') {
      return new Set(plan.pipes.filter((pipe) => pipe.line === chosen.line).map((pipe) => pipe.id));
    }
    return new Set();
  }
}

/** The words of a line of the job. */
export function lineOf(text, line) { return (text.split('\n')[line - 1] ?? '').replace(/\r$/, ''); }

/** A line's words without its remark, and the remark. */
export function parted(words) {
  const at = words.search(/(^|\s)#/);
  return at < 0 ? [words.trim(), ''] : [words.slice(0, at).trim(), words.slice(at).trim()];
}

/** A length as the sheets print it, from mm: `5'-6 1/4"` to 1/16 in, or metres to the millimetre. */
export function length(mm, metric) {
  const sign = mm < 0 ? '-' : '';
  if (metric) return sign + (Math.round(Math.abs(mm)) / 1000).toFixed(3);
  const sixteenths = Math.round((Math.abs(mm) / 25.4) * 16);
  const feet = Math.floor(sixteenths / 192);
  const inches = Math.floor((sixteenths % 192) / 16);
  let [part, of] = [sixteenths % 16, 16];
  while (part && part % 2 === 0) { part /= 2; of /= 2; }
  const fraction = part ? `${part}/${of}` : '';
  const small = [inches || feet || !fraction ? String(inches) : '', fraction].filter(Boolean).join(' ');
  return feet ? `${sign}${feet}'-${small}"` : `${sign}${small}"`;
}
