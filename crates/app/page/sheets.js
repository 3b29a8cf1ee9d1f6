// The sheets as they are printed: chosen by paper, scale, corner and systems, seen at once, handed out as files, and printed by the
// browser at true size.
// @ts-check
import { html, nothing, render } from './vendor/lit-html.js';
import { CORNERS, NAMES } from './turn.js';

export const name = 'sheets', title = 'Sheets', parts = [];

const PLAIN = { views: 'iso', paper: '', way: '', scale: 0, corner: '', systems: /** @type {string[]} */ ([]), level: '', grid: false, marks: false, lists: false };
const SYSTEMS = { waste: 'Waste', vent: 'Vent', cold: 'Cold', hot: 'Hot', 'hot-return': 'Hot return', storm: 'Storm', gas: 'Gas' };
// The usual ones, as in crates/sheet/data/scales.toml.
const SCALES = {
  inch: [[12, '1 in = 1 ft'], [16, '3/4 in = 1 ft'], [24, '1/2 in = 1 ft'], [32, '3/8 in = 1 ft'], [48, '1/4 in = 1 ft'], [64, '3/16 in = 1 ft'], [96, '1/8 in = 1 ft']],
  metric: [[20, '1:20'], [25, '1:25'], [50, '1:50'], [100, '1:100']],
};
/** So long no more changes come before the sheets are laid out anew, ms. */
const CALM = 250;

// A sheet lies in a tree of its own, where no style of the page reaches it: in the page rather than as a picture of its own, so that
// its lettering is in the job's own face, on the screen and in the browser's print.
const inside = new CSSStyleSheet();
inside.replaceSync(`svg { display: block; width: 100%; height: auto; font-family: "Plex Condensed", "Arial Narrow", sans-serif; font-kerning: none;
  font-variant-ligatures: none; line-height: normal; }
@media print { svg { width: var(--paper-width); height: var(--paper-height); } }`);

/** Tells the browser's print how large each page is. @param {[number, number][]} sizes mm */
function tellPrinter(sizes) {
  const sheet = [...document.styleSheets].find((one) => one.href?.endsWith('/print.css'));
  if (!sheet) return;
  for (let i = sheet.cssRules.length - 1; i >= 0; i--) if (sheet.cssRules[i].cssText.startsWith('@page')) sheet.deleteRule(i);
  const [first] = sizes;
  if (first) sheet.insertRule(`@page { size: ${first[0]}mm ${first[1]}mm; margin: 0; }`, sheet.cssRules.length);
  for (const [w, h] of sizes) sheet.insertRule(`@page ${pageName([w, h])} { size: ${w}mm ${h}mm; margin: 0; }`, sheet.cssRules.length);
}
/** @param {[number, number]} size */
const pageName = ([w, h]) => `paper-${Math.round(w * 10)}-${Math.round(h * 10)}`;

export function mount(el, desk) {
  let options = { ...PLAIN };
  const key = () => `wyeline:${desk.state.job}:sheets`;
  try { options = { ...PLAIN, ...JSON.parse(localStorage.getItem(key()) ?? '{}') }; } catch { /* private windows keep nothing */ }
  if (!Array.isArray(options.systems)) options.systems = [];
  /** @type {{sheets: {number: number, title: string, size: [number, number], words: string}[], remarks: string[]}|null} */
  let index = null;
  /** @type {{id: string, title: string}[]|null} */
  let lists = null;
  let wrong = '', busy = true, turn = 0, timer = 0, told = '', open = true;
  // On a phone the sheets come first, and what is on them when it is asked for.
  const roomy = el.clientWidth >= 480 || innerWidth >= 720;

  const query = () => new URLSearchParams({
    ...Object.fromEntries(Object.entries(options).filter(([k, v]) => k !== 'systems' && v !== '' && v !== 0 && v !== false).map(([k, v]) => [k, String(v)])),
    ...(options.systems.length ? { systems: options.systems.join(',') } : {}),
  }).toString();
  const at = (file) => desk.at(`/sheets${file}?${query()}`);

  function set(part) {
    options = { ...options, ...part };
    try { localStorage.setItem(key(), JSON.stringify(options)); } catch { /* as above */ }
    draw();
    soon(0);
  }
  function soon(wait = CALM) {
    clearTimeout(timer);
    timer = setTimeout(lay, wait);
  }

  /** Asks for the sheets one after the other; a later asking makes an earlier one stop. */
  async function lay() {
    const mine = ++turn;
    busy = true;
    draw();
    const seen = await desk.ask(at(''));
    if (mine !== turn || !open) return;
    wrong = seen.wrong ? [seen.wrong, seen.help].filter(Boolean).join(': ') : '';
    index = seen.wrong ? null : seen;
    tellPrinter(index?.sheets.map((sheet) => sheet.size) ?? []);
    draw();
    for (const [i, sheet] of (index?.sheets ?? []).entries()) {
      let text = '';
      try {
        const answer = await fetch(at(`/${sheet.number}.svg`));
        if (answer.ok) text = await answer.text();
      } catch { /* said below */ }
      if (mine !== turn || !open) return;
      const figure = /** @type {HTMLElement} */ (el.querySelectorAll('.sheet-page')[i]);
      if (!text) { wrong = `Sheet ${sheet.number} did not come`; draw(); continue; }
      // What its own style says stands in `inside`; markup that says it would be refused by the content policy.
      const svg = new DOMParser().parseFromString(text.replace(/(<svg[^>]*) style="[^"]*"/, '$1'), 'image/svg+xml').documentElement;
      const paper = /** @type {HTMLElement} */ (figure.querySelector('.leaf-of-paper'));
      const root = paper.shadowRoot ?? paper.attachShadow({ mode: 'open' });
      root.adoptedStyleSheets = [inside];
      root.replaceChildren(document.adoptNode(svg));
    }
    busy = false;
    draw();
  }

  async function listNames(event) {
    if (!event.target.open || lists) return;
    const seen = await desk.ask(desk.at('?parts=lists'));
    lists = seen.lists?.lists ?? [];
    draw();
  }

  /** Every figure knows its paper; script may say that, markup may not. */
  function size() {
    el.querySelectorAll('.sheet-page').forEach((figure, i) => {
      const [w, h] = index?.sheets[i]?.size ?? [0, 0];
      figure.style.setProperty('--paper-width', `${w}mm`);
      figure.style.setProperty('--paper-height', `${h}mm`);
      figure.style.setProperty('page', pageName([w, h]));
      figure.querySelector('.leaf-of-paper').style.aspectRatio = `${w} / ${h}`;
    });
  }

  const pick = (what, label, choices) => html`<label class="pick"><span>${label}</span><select id="sheets-${what}" @change=${(e) => set({ [what]: what === 'scale' ? Number(e.target.value) : e.target.value })}>
    ${choices.map(([value, words]) => html`<option value=${value} .selected=${String(options[what]) === String(value)}>${words}</option>`)}</select></label>`;
  const tick = (what, label) => html`<label class="tick"><input type="checkbox" id="sheets-${what}" .checked=${options[what]} @change=${(e) => set({ [what]: e.target.checked })}>${label}</label>`;
  const paperName = (paper) => paper.replace(/^arch-(.)$/, (_, letter) => `Arch ${letter.toUpperCase()}`).replace(/^./, (letter) => letter.toUpperCase());

  function draw() {
    const { stock, plan, metric } = desk.state;
    const here = Object.keys(SYSTEMS).filter((system) => plan?.pipes.some((pipe) => pipe.system === system));
    const on = options.systems.filter((one) => here.includes(one)), shown = on.length ? on : here;
    const system = (one, yes) => {
      const next = here.filter((other) => (other === one ? yes : shown.includes(other)));
      told = next.length ? '' : 'The last system stays on the sheets.';
      if (next.length) set({ systems: next.length === here.length ? [] : next }); else draw();
    };
    const sheets = index?.sheets ?? [];
    render(html`
      <details class="options" ?open=${roomy}><summary>What is on the sheets</summary><div class="row">
        ${pick('views', 'Views', [['iso', 'Isometric'], ['plan', 'Plans'], ['both', 'Both']])}
        ${pick('paper', 'Paper', [['', 'As fits'], ...(stock?.papers ?? []).map((paper) => [paper, paperName(paper)])])}
        ${pick('way', 'Lying', [['', 'As fits'], ['landscape', 'Landscape'], ['portrait', 'Portrait']])}
        ${pick('scale', 'Scale', [[0, 'Largest that fits'], ...SCALES[metric ? 'metric' : 'inch']])}
        ${options.views === 'plan' ? nothing : pick('corner', 'Corner', [['', 'Best'], ...CORNERS.map((corner) => [corner, NAMES[corner].replace(/^./, (letter) => letter.toUpperCase())])])}
        ${options.views === 'iso' ? nothing : pick('level', 'Level', [['', 'Every level'], ...(plan?.levels ?? []).map((level) => [level.name, level.name])])}
        ${here.length > 1 ? html`<fieldset><legend>Systems</legend>${here.map((one) => html`<label class="tick"><input type="checkbox" id="sheets-system-${one}" .checked=${shown.includes(one)} @change=${(e) => { system(one, e.target.checked); e.target.checked = options.systems.length ? options.systems.includes(one) : true; }}>${SYSTEMS[one]}</label>`)}</fieldset>` : nothing}
        <fieldset><legend>Also</legend>${tick('grid', 'Grid')}${tick('marks', 'Piece marks')}${tick('lists', 'Lists')}</fieldset>
      </div></details>
      <div class="row">
        <button id="sheets-print" ?disabled=${busy || !sheets.length} @click=${() => print()}>Print</button>
        ${sheets.length ? html`<a class="button" id="sheets-pdf" href=${at('/all.pdf')} download>PDF</a>` : nothing}
        <a class="button" id="sheets-workbook" href=${desk.at('/lists/lists.xlsx')} download>Workbook of lists</a>
        <details @toggle=${listNames}><summary>Lists as CSV</summary>
          ${lists ? lists.length ? html`<ul>${lists.map((list) => html`<li><a href=${desk.at(`/lists/${list.id}.csv`)} download>${list.title}</a></li>`)}</ul>` : html`<p>There is nothing to list yet.</p>` : html`<p>Asking the program</p>`}
        </details>
      </div>
      <p class="said pad" role="status">${wrong ? html`<strong class="bad">${wrong}</strong>` : busy ? 'Laying out the sheets' : `${sheets.length === 1 ? '1 sheet' : `${sheets.length} sheets`}. Print at actual size, with no margins.`} ${told}</p>
      ${index?.remarks.length ? html`<details class="remarks"><summary>${index.remarks.length === 1 ? '1 remark' : `${index.remarks.length} remarks`}</summary><ul>${index.remarks.map((remark) => html`<li>${remark}</li>`)}</ul></details>` : nothing}
      <div class="pages">
        ${sheets.map((sheet) => html`<figure class="sheet-page" id="sheet-${sheet.number}">
          <div class="leaf-of-paper"></div>
          <figcaption><span>${sheet.title}</span><span class="soft">${inWords(sheet.size, metric)}</span>
            <a class="button" href=${at(`/${sheet.number}.svg`)} download=${`sheet-${sheet.number}.svg`}>SVG</a>
            <a class="button" href=${at(`/${sheet.number}.png`)} download>PNG</a></figcaption>
        </figure>`)}
      </div>`, el);
    size();
  }
  const inWords = ([w, h], metric) => (metric ? `${Math.round(w)} x ${Math.round(h)} mm` : `${Number((w / 25.4).toFixed(2))} x ${Number((h / 25.4).toFixed(2))} in`);

  draw();
  return {
    update(changed) {
      const back = changed.has('offline') && !desk.state.offline && wrong;
      if (back || changed.has('version') || turn === 0) { lists = null; soon(turn ? CALM : 0); }
      else if (['plan', 'stock', 'metric'].some((one) => changed.has(one))) draw();
    },
    close() { open = false; clearTimeout(timer); tellPrinter([]); },
  };
}
