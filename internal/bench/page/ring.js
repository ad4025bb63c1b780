// The ring: drawing, sizes, checks and the mesh, asked for together; the last good one stays until there is a better.

import { query } from './fields.js';
import { get, getJSON, latest } from './ask.js';
import { show } from './faults.js';
import { make, percent } from './make.js';
import { readMesh } from './mesh.js';
import { open } from './view.js';

const state = document.getElementById('look-state');
const drawing = document.getElementById('drawing');
const job = document.getElementById('job');
const facts = document.getElementById('facts');
const checks = document.getElementById('checks');
const fits = document.getElementById('fits');
const fine = document.getElementById('fine');
const example = document.getElementById('example');
const levels = { ok: '✓ fine', note: 'Note', warn: '! Warning', stop: '✗ Stop' };

let view; // opened with the first ring: null where there is no WebGL
let good = false;

/** ready tells whether the fields as they stand make a ring. */
export function ready() {
  return good;
}

function say(text, old) {
  state.textContent = text;
  state.classList.toggle('old', old);
}

function picture(svg) {
  return document.importNode(new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement, true);
}

/** tellFits says how the ring goes with both parts. What was opened stays open; a picture is fetched when it is opened. */
function tellFits(list, asked) {
  const open = new Set([...fits.querySelectorAll('details[open]')].map((d) => d.dataset.side));
  fits.replaceChildren(
    ...list.map((f) => {
      const paper = make('div', { className: 'paper', tabIndex: 0, hidden: true });
      paper.setAttribute('role', 'group');
      paper.setAttribute('aria-label', `Drawing: ${f.what}`);
      const box = make('details', {}, make('summary', {}, `${f.what}: ${f.verdict}, ${percent(f.chance)}`), make('p', { className: 'soft', textContent: `${f.why}.` }), paper);
      box.dataset.side = f.side;
      box.addEventListener('toggle', async () => {
        if (!box.open || paper.firstChild) return;
        const found = await get(`/api/fit?side=${f.side}&${asked}`);
        if (found?.status !== 200) return;
        paper.replaceChildren(picture(await found.text()));
        paper.hidden = false;
      });
      box.open = open.has(f.side);
      return box;
    }),
  );
  fits.hidden = list.length === 0;
}

function draw(ring, asked) {
  drawing.replaceChildren(picture(ring.svg));
  job.replaceChildren(picture(ring.job));
  const first = drawing.hidden;
  drawing.hidden = job.hidden = false;
  if (first) drawing.scrollLeft = (drawing.scrollWidth - drawing.clientWidth) / 2;
  tellFits(ring.fits, asked);
  facts.replaceChildren(
    ...ring.facts.flatMap((f) => [
      make('dt', { textContent: f.what }),
      make('dd', {}, f.value, ...(f.why ? [make('small', { textContent: f.why })] : [])),
    ]),
  );
  facts.hidden = false;
  const item = (c) => make('li', { className: c.level }, make('span', { className: 'level', textContent: levels[c.level] }), c.text);
  const passed = ring.checks.filter((c) => c.level === 'ok');
  checks.replaceChildren(...ring.checks.filter((c) => c.level !== 'ok').map(item));
  checks.hidden = false;
  fine.hidden = passed.length === 0;
  fine.querySelector('summary').textContent = `${passed.length} checks are fine`;
  fine.querySelector('ul').replaceChildren(...passed.map(item));
}

/** solid shows the mesh; the view is opened with the first. */
function solid(mesh) {
  if (view === undefined) {
    document.getElementById('solid').hidden = false;
    view = open();
    document.getElementById('solid').hidden = !view;
    document.getElementById('flat').hidden = Boolean(view);
  }
  view?.show(mesh);
}

/** together is how much later than the drawing the mesh may come, in ms, to be shown in the same frame. */
const together = 30;

/** ring asks for the ring that the fields tell of; done is called with each answer. */
export function ring(done) {
  return latest(async () => {
    const asked = query().toString();
    // Both are asked for at once; the drawing waits for the mesh no longer than nobody sees.
    const coming = get(`/api/mesh?${asked}`).then((a) => (a && a.status === 200 ? a.arrayBuffer() : null)).catch(() => null);
    const found = await getJSON(`/api/ring?${asked}`);
    if (!found) return;
    good = found.faults.length === 0;
    const bytes = good && (await Promise.race([coming, new Promise((late) => setTimeout(late, together))]));
    if (bytes) solid(readMesh(bytes));
    const empty = new Set(['inner', 'outer'].filter((key) => !new URLSearchParams(asked).get(key)));
    show('ring', found.faults.filter((f) => !empty.has(f.field)));
    example.hidden = asked !== '';
    if (good) {
      draw(found, asked);
      say(found.threads, false);
    } else {
      const old = drawing.hidden ? '' : ' Below is the last ring that could be made.';
      say((empty.size ? 'Pick both threads to see the ring.' : 'This ring cannot be made; see what is marked.') + old, !empty.size || Boolean(old));
    }
    document.getElementById('look').classList.toggle('stale', !good && !drawing.hidden);
    done(good);
    const late = good && !bytes && (await coming);
    if (late) solid(readMesh(late));
  });
}
