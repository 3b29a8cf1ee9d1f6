// A scanned or photographed plan under the plan, scaled by two points whose distance is known. Kept by the program beside the job.
// @ts-check
import { html, nothing, svg } from './vendor/lit-html.js';

export class Underlay {
  constructor(desk, changed) {
    this.desk = desk;
    this.changed = changed;
    /** By level: where its picture lies, mm. @type {any} */
    this.all = {};
    this.load();
  }

  async load() {
    const { job } = this.desk.state;
    if (!job) return;
    const seen = await this.desk.ask(this.desk.at('/underlays'));
    if (!seen.wrong) { this.all = seen; this.changed(); }
  }

  draw(level) {
    const one = this.all[level];
    if (!one) return nothing;
    return svg`<image class="underlay" href=${this.desk.at(`/underlays/${level}?v=${one.version}`)} x=${one.x} y=${-one.y} width=${one.wide} height=${one.high}/>`;
  }

  bar(hand) {
    const { level } = this.desk.state;
    const one = this.all[level];
    return html`<label class="button">Plan under it… <input id="underlay" class="file" type="file" accept="image/png,image/jpeg,application/pdf" @change=${(event) => this.put(event.target.files[0])}></label>
      ${one ? html`<button aria-pressed=${hand.tool === 'measure'} @click=${() => hand.take('measure')}>Scale it</button>
        ${hand.tool === 'measure' && hand.measured ? html`<form class="one" @submit=${(event) => { event.preventDefault(); this.scale(hand, event.target.elements[0].value); }}>
          <label>These two points are <input id="known-distance" size="8"></label> apart <button>Scale</button></form>` : nothing}
        <button @click=${() => this.drop()}>Take it away</button>` : nothing}`;
  }

  async put(file) {
    if (!file) return;
    const { level } = this.desk.state;
    let answer;
    try {
      answer = await fetch(this.desk.at(`/underlays/${level}`), { method: 'POST', headers: { 'content-type': file.type || 'application/octet-stream' }, body: file });
    } catch { this.desk.set({ offline: true }); return; }
    const said = await answer.json();
    if (!answer.ok) { this.desk.set({ wrong: said.wrong, help: said.help ?? '' }); return; }
    this.all = said;
    this.changed();
  }

  async send(place) {
    const { level } = this.desk.state;
    const said = await this.desk.ask(this.desk.at(`/underlays/${level}/place`), place);
    if (said.wrong) this.desk.set({ wrong: said.wrong, help: said.help ?? '' });
    else { this.all = said; this.changed(); }
  }

  /** The first point stays where it is; the picture grows or shrinks about it. */
  async scale(hand, words) {
    const [a, b] = hand.measured;
    hand.measured = null;
    await this.send({ about: a, apart: Math.hypot(a[0] - b[0], a[1] - b[1]), words });
    hand.take('choose');
  }

  async drop() { await this.send({ gone: true }); }
}
