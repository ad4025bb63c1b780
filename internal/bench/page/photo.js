// Counting on a picture: it is opened, counted by the bench, and counted again when a hand changed the marks.

import { put, query, whenChanged } from './store.js';
import { form } from './fields.js';
import { getJSON, latest } from './ask.js';
import { show } from './faults.js';
import { make } from './make.js';
import { marks } from './marks.js';
import { reveal } from './guide.js';

const input = document.getElementById('picture');
const other = document.getElementById('other'); // a picture of the same part on the sheet
const state = document.getElementById('photo-state');
const shot = document.getElementById('shot');
const image = shot.querySelector('img');
const counted = document.getElementById('counted');
const use = document.getElementById('use-pitch');
const add = shot.querySelector('[data-do=add]');

let file = null;
let known = null; // the picture's size and lens
let placed = null; // the marks, once a hand changed them
let doubts = []; // why the picture by itself gives no answer
let [pitch, diameter] = ['', ''];

const over = marks(shot.querySelector('.sheet'), (list) => {
  placed = list;
  if (!over.isAdding()) state.textContent = over.where();
  count();
});

function tell(found) {
  // While crests are being tapped, not enough of them is no mistake yet.
  const unfinished = placed && over.isAdding() && found.faults.some((f) => f.field === 'photo');
  show('photo', found.faults.filter((f) => ['photo.distance', 'photo.line'].includes(f.field) || (f.field === 'photo' && !unfinished)));
  [pitch, diameter] = [found.pitch, found.diameter];
  use.hidden = !pitch;
  other.parentElement.hidden = !found.move && !other.files.length;
  const whys = doubts.map(({ why, mend }) => {
    const li = make('li', {}, make('span', { className: 'clash', textContent: `${why[0].toUpperCase()}${why.slice(1)}.` }));
    if (!placed) li.append(` To mend it, ${mend}.`); // whoever marks by hand has chosen
    return li;
  });
  const says = found.says.map((text, i) => make('li', { className: i === 0 && pitch ? 'figure' : '', textContent: text }));
  if (unfinished) says.push(make('li', { textContent: `${placed.length} marked. Go on along both edges of the part, one mark a crest, four or more on each.` }));
  counted.replaceChildren(...(placed ? [...says, ...whys] : [...whys, ...says]));
}

/** count asks for what the marks say, as they stand. */
const count = latest(async () => {
  if (!known || !placed) {
    await measure();
    return;
  }
  const asked = placed;
  const found = await getJSON(`api/photo/count?${query()}`, {
    method: 'POST',
    body: JSON.stringify({ ...known, doubt: doubts.length > 0, pixel: over.pixel(), marks: asked }),
  });
  if (!found || asked !== placed) return; // the marks were changed meanwhile, and are counted next
  tell(found);
  if (found.faults.length) over.point(over.isAdding() ? -1 : found.odd);
  else over.told(found.marks);
});

/** measure has the bench look at the picture. */
async function measure() {
  const asked = file;
  if (!asked) return;
  state.textContent = 'Counting…';
  const second = other.files[0] ?? null;
  const found = await getJSON(`api/photo?${query()}&photo.first=${asked.size}`, { method: 'POST', body: second ? new Blob([asked, second]) : asked });
  if (asked !== file || second !== (other.files[0] ?? null)) return; // another picture was opened meanwhile, and is next
  state.textContent = '';
  if (!found || placed) return; // a mark was put meanwhile
  doubts = found.refusals;
  tell(found);
  shot.hidden = !found.width;
  if (!found.width) return;
  known = { width: found.width, height: found.height, focal35: found.focal35 };
  shot.hidden = false;
  over.show(found.width, found.height, found.marks);
  if (found.refusals.length) state.textContent = 'The picture does not say enough to be sure. Mark the crests along both edges by hand, or take it again.';
  else if (!found.faults.length) state.textContent = 'Check the marks by eye: drag one, strike it out, or add one.';
}

input.addEventListener('change', async () => {
  file = input.files[0] ?? null;
  [known, placed, doubts] = [null, null, []];
  shot.hidden = use.hidden = other.parentElement.hidden = true;
  other.value = '';
  counted.replaceChildren();
  show('photo', []);
  state.textContent = '';
  if (!file) return;
  add.setAttribute('aria-pressed', 'false');
  over.adding(false);
  if (file.size > Number(input.dataset.most)) {
    const { name, size } = file;
    file = null;
    show('photo', [{ field: 'photo', text: `${name} has ${Math.round(size / 1e6)} MB; at most ${Math.floor(input.dataset.most / 1e6)} are taken` }]);
    return;
  }
  if (image.src) URL.revokeObjectURL(image.src);
  image.src = URL.createObjectURL(file);
  shot.classList.toggle('as-stored', file.type !== 'image/jpeg'); // only of a JPEG is read which way is up
  await count();
});
other.addEventListener('change', count);
shot.querySelector('.pad').addEventListener('click', (e) => {
  const deed = e.target.closest('button')?.dataset.do;
  if (!deed) return;
  if (deed === 'add' && e.detail === 0) { // pressed by a key: no tap will follow
    over.deeds.insert();
    shot.querySelector('.frame').focus();
    state.textContent = 'A new crest. Move it by Shift and arrow keys.';
    return;
  }
  if (deed === 'add') {
    const on = add.getAttribute('aria-pressed') !== 'true';
    add.setAttribute('aria-pressed', String(on));
    over.adding(on);
    state.textContent = on ? 'Tap each crest that is missing. Then press Add a crest again.' : '';
    if (placed) count();
    return;
  }
  over.deeds[deed]();
  if (deed === 'before' || deed === 'after') state.textContent = over.where();
});
shot.querySelector('.frame').addEventListener('keydown', () => {
  state.textContent = over.where() || state.textContent;
});
use.addEventListener('click', () => {
  put({ 'goes.pitch': pitch, ...(diameter && { 'goes.outside': diameter }) });
  reveal(form.elements['goes.pitch']);
});
whenChanged((names) => {
  if (file && ['goes.outside', 'photo.distance', 'photo.line', 'instrument', 'unit'].some((name) => names.includes(name))) count();
});
