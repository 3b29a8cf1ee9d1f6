// The practice page's one store: the exercise that lies open, what is drawn of it, its marks, steps, questions. Every stroke is kept
// by the program at once, and in the browser until the program has said so.
// @ts-check
import { Desk } from './desk.js';
import { Hand } from './practice-hand.js';
import { Ink } from './practice-ink.js';

/** So long after a keeping that failed it is tried again, ms. */
const AGAIN = 3000;

const store = (name) => `wyeline-practice:${name}`;
/** What the browser remembers under a name; private windows keep nothing. */
export function recall(name) { try { return JSON.parse(localStorage.getItem(store(name)) ?? 'null'); } catch { return null; } }
export function remember(name, what) {
  try { if (what === null) localStorage.removeItem(store(name)); else localStorage.setItem(store(name), JSON.stringify(what)); } catch { /* private windows keep nothing */ }
}

/** Asking and telling are the drafting table's; what is held is not. */
export class Book extends Desk {
  constructor() {
    super();
    this.state = {
      home: null, exercise: null, reading: false, corner: '', ownRoute: false, learner: recall('learner') ?? '',
      ink: null, kept: 'kept', marks: null, key: '', stale: false, marking: false, fault: -1,
      steps: null, step: 0, stepsOf: '', reader: null, answers: null, given: [], wrong: '', help: '', offline: false,
    };
    this.ink = new Ink(() => this.drawn());
    /** @type {Hand|null} */ this.hand = null;
    /** Told where letters are wanted; set by the drawing. */
    this.ask_letters = (/** @type {import('./practice-ink.js').Point} */ _at, /** @type {number} */ _index) => {};
    /** How paper and pictures were looked at when they were put away. @type {Map<string, any>} */
    this.views = new Map();
    this.sending = false;
    this.unsent = false;
    this.timer = 0;
  }

  /** What the program refuses, as words on top of the page. */
  refuse(seen) { this.set({ wrong: seen.wrong, help: seen.help ?? '' }); }

  async lookHome() {
    const home = await this.ask('/api/practice');
    this.set(home.wrong ? { home: { levels: [], codes: [], progress: [], wrong: home.status === 404 ? 'This is a copy to read: there is no practice here.' : home.wrong } } : { home, wrong: '', help: '' });
  }

  /** Opens an exercise by its code, or a fresh one of a level. @param {{code: string}|{level: number, practice: string}} which @param {boolean} reading */
  async begin(which, reading) {
    const query = 'code' in which ? { code: which.code } : { level: String(which.level), practice: which.practice };
    const exercise = await this.ask(`/api/practice/exercise?${new URLSearchParams(query)}`);
    if (exercise.wrong) return exercise;
    // What the program could not be told when the page was closed is newer than what it kept.
    const unsent = recall(`unsent:${exercise.code ?? ''}`);
    const drawing = unsent ?? exercise.drawing;
    this.ink.load(drawing);
    this.views.clear();
    this.hand = new Hand(this.ink, exercise.pitch, { changed: () => this.set({ hand: {} }), ask: (at, index) => this.ask_letters(at, index) });
    this.set({
      exercise, reading, corner: drawing?.corner || exercise.corner, ownRoute: drawing?.own_route === true, ink: this.ink.now, kept: 'kept',
      marks: null, key: '', stale: false, fault: -1, steps: null, step: 0, stepsOf: '', reader: null, answers: null, given: [], wrong: '', help: '',
    });
    if (unsent) this.keep();
    return exercise;
  }

  /** The drawing as it is kept and marked. */
  get drawing() {
    const { exercise, learner, corner, ownRoute } = this.state;
    return { exercise: exercise.code ?? '', learner, corner, own_route: ownRoute, strokes: this.ink.now.strokes, letters: this.ink.now.letters };
  }

  drawn() {
    this.set({ ink: this.ink.now, stale: this.state.marks !== null, hand: {} });
    this.keep();
  }

  /** Changes what is said beside the ink: the corner, the route, who drew it. */
  say(part) {
    this.set({ ...part, stale: this.state.marks !== null });
    if ('learner' in part) remember('learner', part.learner || null);
    this.keep();
  }

  /** Has the drawing kept, the newest last; one request at a time, so that an older one never arrives after it. */
  async keep() {
    remember(`unsent:${this.drawing.exercise}`, this.drawing);
    this.unsent = true;
    if (this.sending) return;
    this.sending = true;
    clearTimeout(this.timer);
    while (this.unsent) {
      this.unsent = false;
      const { exercise, kept } = this.state, { drawing } = this, sent = JSON.stringify(drawing);
      if (kept !== 'not kept') this.set({ kept: 'keeping' });
      const seen = await this.ask('/api/practice/keep', { drawing });
      if (!seen.wrong && JSON.stringify(recall(`unsent:${drawing.exercise}`)) === sent) remember(`unsent:${drawing.exercise}`, null);
      // What was not sent of an exercise that was left is sent when it is opened again.
      if (exercise !== this.state.exercise || this.unsent) continue;
      this.set({ kept: seen.wrong ? 'not kept' : 'kept' });
      // A program that does not answer is asked again; one that refuses says why.
      if (seen.wrong && this.state.offline) this.timer = window.setTimeout(() => this.keep(), AGAIN);
      else if (seen.wrong) this.refuse(seen);
    }
    this.sending = false;
  }

  async mark() {
    if (this.state.marking) return;
    const { exercise } = this.state;
    this.hand?.leave();
    this.set({ marking: true });
    const now = this.ink.now;
    const seen = await this.ask('/api/practice/mark', { drawing: this.drawing });
    this.set({ marking: false });
    if (exercise !== this.state.exercise) return;
    if (seen.wrong) { this.refuse(seen); return; }
    this.set({ marks: seen.marks, key: seen.key, stale: now !== this.ink.now, fault: -1, wrong: '', help: '' });
  }

  async lookSteps() {
    const { exercise, corner } = this.state, of = `${exercise.code} ${corner}`;
    if (this.state.stepsOf === of) return;
    this.set({ stepsOf: of, steps: null });
    const seen = await this.ask(`/api/practice/steps?${new URLSearchParams({ code: exercise.code, corner })}`);
    if (this.state.stepsOf !== of) return;
    if (seen.wrong) { this.set({ stepsOf: '' }); this.refuse(seen); return; }
    // Turned to another corner, the same step is shown from there.
    this.set({ steps: seen.steps, step: Math.min(this.state.step, seen.steps.length - 1), wrong: '', help: '' });
  }

  async lookQuestions() {
    const { exercise } = this.state;
    if (this.state.reader) return;
    const seen = await this.ask(`/api/practice/questions?${new URLSearchParams({ code: exercise.code })}`);
    if (exercise !== this.state.exercise) return;
    if (seen.wrong) { this.refuse(seen); return; }
    this.set({ reader: seen, given: seen.questions.map(() => ''), answers: null });
  }

  async answer() {
    const { exercise, given } = this.state;
    const seen = await this.ask('/api/practice/answers', { code: exercise.code, answers: given });
    if (exercise !== this.state.exercise) return;
    if (seen.wrong) this.refuse(seen); else this.set({ answers: { given: [...given], said: seen.answers }, wrong: '', help: '' });
  }

  async forget() {
    const seen = await this.ask('/api/practice/forget', {});
    if (seen.wrong) { this.refuse(seen); return; }
    // The name and what was never sent are the learner's too.
    try { for (const name of Object.keys(localStorage)) if (name.startsWith(store('unsent:')) || name === store('learner')) localStorage.removeItem(name); } catch { /* private windows keep nothing */ }
    this.state.learner = '';
    await this.lookHome();
  }
}
