// The ring: drawing, sizes, checks and the mesh, asked for together.

import { query } from './store.js';
import { question } from './questions.js';
import { get, getJSON } from './ask.js';
import { make, percent } from './make.js';
import { glance } from './glance.js';
import { readMesh } from './mesh.js';
import { open } from './view.js';

const place = Object.fromEntries(['look-state', 'glance', 'drawing', 'job', 'solid', 'flat', 'facts', 'chance', 'fits', 'checks', 'fine'].map((id) => [id, document.getElementById(id)]));
const levels = { ok: '✓ fine', note: 'Note', warn: '! Warning', stop: '✗ Stop' };

/** ringFields are the fields that a ring follows from. */
export const ringFields = ['unit', 'job', 'name', 'inner', 'outer', 'height', 'clearance', 'inner_clearance', 'outer_clearance', 'printer', 'grip', 'layout', 'label', 'chord', 'paper'];

const nothing = { svg: '', fits: [], facts: [], checks: [] };

let shown = null;
/** shownRing is the ring that the fields tell of, with the chance that both its threads go; null for none. */
export function shownRing() {
  return ring.isOld() ? null : shown;
}

const small = matchMedia('(max-width: 40rem)'); // where the drawing has few large sizes
let view; // opened with the first ring: null where there is no WebGL

function picture(svg) {
  return svg ? [document.importNode(new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement, true)] : [];
}

/** goes is the chance that both threads turn by hand and hold. */
function goes(fits) {
  return fits.reduce((chance, f) => chance * f.chance, 1);
}

/** tellFits says how the ring goes with both parts. What was opened stays open; a picture is fetched when it is opened. */
function tellFits(list, asked) {
  const open = new Set([...place.fits.querySelectorAll('details[open]')].map((d) => d.dataset.side));
  place.fits.replaceChildren(
    ...list.map((f) => {
      const paper = make('div', { className: 'paper', tabIndex: 0, hidden: true });
      paper.setAttribute('role', 'group');
      paper.setAttribute('aria-label', `Drawing: ${f.what}`);
      const box = make('details', {}, make('summary', {}, `${f.what}: ${f.verdict}, ${percent(f.chance)}`), make('p', { className: 'soft', textContent: `With a part in the middle of its limits of size: ${f.why}.` }), paper);
      box.dataset.side = f.side;
      box.addEventListener('toggle', async () => {
        if (!box.open || paper.firstChild) return;
        const found = await get(`api/fit?side=${f.side}&${asked}`);
        if (found?.status !== 200) return;
        paper.replaceChildren(...picture(await found.text()));
        paper.hidden = false;
      });
      box.open = open.has(f.side);
      return box;
    }),
  );
  place.fits.hidden = place.chance.hidden = list.length === 0;
  place.chance.textContent = `Both threads turn by hand and hold: ${percent(goes(list))}`;
}

/** draw shows a ring; with nothing there is none. */
function draw(ring, asked) {
  place.drawing.replaceChildren(...picture(ring.svg));
  place.glance.replaceChildren(...(small.matches ? glance(ring) : []));
  place.drawing.hidden = place.glance.hidden = place.facts.hidden = place.checks.hidden = !ring.svg;
  tellFits(ring.fits, asked);
  place.facts.replaceChildren(
    ...ring.facts.flatMap((f) => [
      make('dt', { textContent: f.what }),
      make('dd', {}, f.value, ...(f.why ? [make('small', { textContent: f.why })] : [])),
    ]),
  );
  const item = (c) => make('li', { className: c.level }, make('span', { className: 'level', textContent: levels[c.level] }), c.text);
  const passed = ring.checks.filter((c) => c.level === 'ok');
  place.checks.replaceChildren(...ring.checks.filter((c) => c.level !== 'ok').map(item));
  place.fine.hidden = passed.length === 0;
  place.fine.querySelector('summary').textContent = `${passed.length} checks are fine`;
  place.fine.querySelector('ul').replaceChildren(...passed.map(item));
  shown = ring.svg ? { ...ring, chance: goes(ring.fits) } : null;
}

small.addEventListener('change', () => { if (shown) place.glance.replaceChildren(...glance(shown)); });

/** solid shows the mesh; the view is opened with the first. */
function solid(bytes) {
  if (view === undefined) {
    place.solid.hidden = false;
    view = open();
  }
  place.solid.hidden = !view;
  place.flat.hidden = Boolean(view);
  view?.show(readMesh(bytes));
}

function say(text, old = false) {
  place['look-state'].textContent = text;
  place['look-state'].classList.toggle('alert', old);
}

/** together is how much later than the drawing the mesh may come, in ms, to be shown in the same frame. */
const together = 30;

/** ask brings a ring with its mesh, or with one that is still on its way: the drawing waits for it no longer than nobody sees. */
async function ask(asked) {
  const coming = get(`api/mesh?${asked}`).then((a) => (a && a.status === 200 ? a.arrayBuffer() : null)).catch(() => null);
  const found = await getJSON(`api/ring?${asked}`);
  if (!found) return null;
  const mesh = found.faults.length ? null : await Promise.race([coming, new Promise((late) => setTimeout(late, together))]);
  return { ...found, mesh, coming };
}

/** missing tells whether a thread has not been named yet. */
function missing(asked) {
  return ['inner', 'outer'].filter((key) => !new URLSearchParams(asked).get(key));
}

let last = null; // what was answered last, while a mesh is still on its way
/** ring is the question. */
export const ring = question({
  teller: 'ring',
  first: true,
  input: () => query(...ringFields).toString(),
  ask,
  own: (f, asked) => !missing(asked).includes(f.field),
  tell(found, asked) {
    last = found ?? last;
    const none = missing(asked ?? query(...ringFields)).length > 0;
    if (found && !found.faults.length) {
      draw(found, asked);
      say(found.threads);
      if (found.mesh) solid(found.mesh);
      else found.coming.then((late) => { if (late && last === found) solid(late); });
    } else {
      if (!found) {
        draw(nothing);
        place.solid.hidden = true;
      }
      const old = shown ? ' Below is the last ring that could be made.' : '';
      say((none ? 'Pick both threads to see the ring.' : 'This ring cannot be made; see what is marked.') + old, !none || Boolean(old));
    }
  },
  places: [place.glance, place.drawing, document.getElementById('verdict'), document.getElementById('turn')],
});

// The picture of the whole job comes after the ring, so that no key press waits for it.
question({
  teller: 'whole',
  input: () => (missing(query(...ringFields)).length ? null : query(...ringFields).toString()),
  async ask(asked) {
    const found = await get(`api/fit?side=both&${asked}`);
    return found && { svg: found.status === 200 ? await found.text() : '' };
  },
  good: (found) => found.svg !== '',
  tell(found) {
    if (found?.svg === '') return;
    place.job.replaceChildren(...picture(found?.svg));
    place.job.hidden = !found;
  },
});
