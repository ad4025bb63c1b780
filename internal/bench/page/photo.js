// Counting on a picture: it is opened, counted by the bench, and counted again when a hand changed the marks.

import { form, query } from './fields.js';
import { getJSON, latest } from './ask.js';
import { show } from './faults.js';
import { make } from './make.js';
import { marks } from './marks.js';

const input = document.getElementById('picture');
const state = document.getElementById('photo-state');
const shot = document.getElementById('shot');
const image = shot.querySelector('img');
const counted = document.getElementById('counted');
const use = document.getElementById('use-pitch');
const add = shot.querySelector('[data-do=add]');

/** photo wires the picture; used is called when its pitch was put into the field. It returns a function that counts again. */
export function photo(used) {
  let file = null;
  let known = null; // the picture's size and lens
  let placed = null; // the marks, once a hand changed them
  let pitch = '';

  const over = marks(shot.querySelector('.sheet'), (list) => {
    placed = list;
    count();
  });

  function tell(found) {
    show('photo', found.faults.filter((f) => f.field === 'photo' || f.field === 'photo.distance'));
    pitch = found.pitch;
    use.hidden = !pitch;
    counted.replaceChildren(
      ...found.refusals.map((r) => make('li', { textContent: `${r.why[0].toUpperCase()}${r.why.slice(1)}. To mend it, ${r.mend}.` })),
      ...found.says.map((text) => make('li', { textContent: text })),
    );
  }

  /** count asks for what the marks say, as they stand. */
  const count = latest(async () => {
    if (!known) return;
    if (!placed) {
      await measure();
      return;
    }
    const found = await getJSON(`/api/photo/count?${query()}`, { method: 'POST', body: JSON.stringify({ ...known, pixel: over.pixel(), marks: placed }) });
    if (!found) return;
    tell(found);
    if (!found.faults.length) over.told(found.marks);
  });

  /** measure has the bench look at the picture. */
  async function measure() {
    state.textContent = 'Counting…';
    const found = await getJSON(`/api/photo?${query()}`, { method: 'POST', body: file });
    state.textContent = '';
    if (!found) return;
    tell(found);
    if (!found.width) {
      shot.hidden = true;
      return;
    }
    known = { width: found.width, height: found.height, focal35: found.focal35 };
    shot.hidden = false;
    over.show(found.width, found.height, found.marks);
    if (found.refusals.length) state.textContent = 'The picture does not say enough to be sure. Mark the crests along both edges by hand, or take it again.';
    else if (!found.faults.length) state.textContent = 'Check the marks by eye: drag one, strike it out, or add one.';
  }

  input.addEventListener('change', async () => {
    file = input.files[0] ?? null;
    if (!file) return;
    [known, placed] = [null, null];
    add.setAttribute('aria-pressed', 'false');
    over.adding(false);
    if (file.size > Number(input.dataset.most)) {
      show('photo', [{ field: 'photo', text: `${file.name} has ${Math.round(file.size / 1e6)} MB; at most ${Math.floor(input.dataset.most / 1e6)} are taken` }]);
      return;
    }
    if (image.src) URL.revokeObjectURL(image.src);
    image.src = URL.createObjectURL(file);
    await measure();
  });
  shot.querySelector('.pad').addEventListener('click', (e) => {
    const deed = e.target.closest('button')?.dataset.do;
    if (!deed) return;
    if (deed === 'add') {
      const on = add.getAttribute('aria-pressed') !== 'true';
      add.setAttribute('aria-pressed', String(on));
      over.adding(on);
      state.textContent = on ? 'Tap each crest that is missing.' : '';
      return;
    }
    over.deeds[deed]();
    if (deed === 'before' || deed === 'after') state.textContent = over.where();
  });
  shot.querySelector('.frame').addEventListener('keydown', () => {
    state.textContent = over.where();
  });
  use.addEventListener('click', () => {
    form.elements['goes.pitch'].value = pitch;
    used();
    form.elements['goes.pitch'].focus();
  });
  return () => {
    if (file && known) count();
  };
}
