// The parts list: read in the browser, kept while the window is open, ranked by the bench.

import { query } from './fields.js';
import { getJSON, latest } from './ask.js';
import { show } from './faults.js';
import { make, percent } from './make.js';

const input = document.getElementById('parts');
const state = document.getElementById('parts-state');
const ranked = document.getElementById('ranked');
const unit = document.getElementById('list-unit');

function side(what, s) {
  return make('p', {}, `${what}: ${s.thread}, `, make('b', { textContent: s.verdict }), make('small', { textContent: `${s.why}.` }));
}

function item(p) {
  const li = make('li', {}, make('p', { className: 'head' }, make('span', { textContent: p.part }), make('span', { textContent: p.verdict }), make('span', { textContent: percent(p.chance) })));
  const why = make('details', {}, make('summary', { textContent: 'Why' }), side('Inside', p.inner), side('Outside', p.outer));
  li.append(why);
  if (p.ask) li.append(make('p', { textContent: `${p.ask}` }));
  if (p.alike.length) li.append(make('p', { className: 'soft', textContent: `The list does not tell it from ${p.alike.join(', ')}.` }));
  return li;
}

/** rank asks the bench for the verdicts on the list, if there is one. */
export const rank = latest(async () => {
  const text = sessionStorage.getItem('parts');
  if (!text) return;
  const asked = query();
  if (!asked.get('inner') || !asked.get('outer')) {
    state.textContent = 'The list is here. Pick both threads to see the verdicts.';
    ranked.replaceChildren();
    return;
  }
  asked.set('list_unit', unit.value);
  const found = await getJSON(`/api/parts?${asked}`, { method: 'POST', body: text });
  if (!found) return;
  show('parts', found.faults.filter((f) => f.field === 'parts'));
  if (found.faults.length) return;
  const [name, left] = [sessionStorage.getItem('parts-name'), found.skipped.length];
  state.textContent = `${name}: ${found.parts.length + found.more} parts, best first${left ? `; ${left} ${left === 1 ? 'row' : 'rows'} could not be read` : ''}.`;
  ranked.replaceChildren(...found.parts.map(item));
  if (found.more) ranked.append(make('li', { textContent: `and ${found.more} more` }));
  for (const text of [...found.skipped, ...found.notes]) ranked.append(make('li', { className: 'soft', textContent: text }));
});

/** keep wires the file field. */
export function keep() {
  unit.addEventListener('change', rank);
  input.addEventListener('change', async () => {
    const file = input.files[0];
    if (!file) return;
    if (file.size > Number(input.dataset.most)) {
      show('parts', [{ field: 'parts', text: `${file.name} has ${file.size} bytes; the page takes ${input.dataset.most}. tryring shortlist takes larger lists` }]);
      return;
    }
    sessionStorage.setItem('parts', await file.text());
    sessionStorage.setItem('parts-name', file.name);
    await rank();
  });
}
