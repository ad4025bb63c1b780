// The parts list: read in the browser, kept while the window is open; its name is the job's.

import { form } from './fields.js';
import { show } from './faults.js';
import { make, percent } from './make.js';

const input = document.getElementById('parts');
const state = document.getElementById('parts-state');
const ranked = document.getElementById('ranked');
function side(what, s) {
  return make('p', {}, `${what}: ${s.thread}, `, make('b', { textContent: s.verdict }), make('small', { textContent: `${s.why}.` }));
}

function item(p) {
  const li = make('li', {}, make('p', { className: 'head' }, make('span', { textContent: p.part }), make('span', { textContent: p.verdict }), make('span', { textContent: percent(p.chance) })));
  const why = make('details', {}, make('summary', { textContent: 'Why' }), side('Inside', p.inner), side('Outside', p.outer));
  li.append(why);
  if (p.ask) li.append(make('p', { textContent: `${p.ask}` }));
  if (p.same_as.length) li.append(make('p', { className: 'soft', textContent: `The list does not tell it from ${p.same_as.join(', ')}.` }));
  return li;
}

/** list is the text of the job's list, as far as this window holds it. */
export function list() {
  return sessionStorage.getItem('parts-name') === form.elements.list.value ? sessionStorage.getItem('parts') ?? '' : '';
}

/** tell shows the parts, best first. */
export function tell(found) {
  const left = found.skipped.length;
  const none = list() && !left ? 'The list is here. Read or pick both threads to see the verdicts.' : '';
  state.textContent = found.parts.length ? `${form.elements.list.value}: ${found.parts.length + found.more} parts, best first${left ? `; ${left} ${left === 1 ? 'row' : 'rows'} could not be read` : ''}.` : none;
  ranked.replaceChildren(...found.parts.map(item));
  if (found.more) ranked.append(make('li', { textContent: `and ${found.more} more` }));
  for (const text of [...found.skipped, ...found.notes]) ranked.append(make('li', { className: 'soft', textContent: text }));
}

/** keep wires the file field; kept is called when there is a list. */
export function keep(kept) {
  input.addEventListener('change', async () => {
    const file = input.files[0];
    if (!file) return;
    if (file.size > Number(input.dataset.most)) {
      show('parts', [{ field: 'parts', text: `${file.name} has ${file.size} bytes; the page takes ${input.dataset.most}, the command line more` }]);
      return;
    }
    sessionStorage.setItem('parts', await file.text());
    sessionStorage.setItem('parts-name', file.name);
    form.elements.list.value = file.name;
    input.value = '';
    kept();
  });
}
