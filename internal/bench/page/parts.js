// The parts list: read in the browser, kept while the window is open; its name is the job's.

import { put, value } from './store.js';
import { askAgain } from './questions.js';
import { keep, recall } from './kept.js';
import { show } from './faults.js';
import { make, percent } from './make.js';

const input = document.getElementById('parts');
const pasted = document.getElementById('pasted');
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
  return value('list') && recall('parts-name') === value('list') ? recall('parts') : '';
}

/** tell shows the parts, best first; nothing of a list that is wrong. */
export function tell(found, wrong) {
  const left = found.skipped.length;
  const none = list() && !left && !wrong ? 'The list is here. Read or pick both threads to see the verdicts.' : '';
  state.textContent = found.parts.length ? `${value('list')}: ${found.parts.length + found.more} parts, best first${left ? `; ${left} ${left === 1 ? 'row' : 'rows'} could not be read` : ''}.` : none;
  ranked.replaceChildren(...found.parts.map(item));
  if (found.more) ranked.append(make('li', { textContent: `and ${found.more} more` }));
  for (const text of [...found.skipped, ...found.notes]) ranked.append(make('li', { className: 'soft', textContent: text }));
}

/** take makes a text the job's list. */
function take(name, text) {
  keep('parts', text);
  keep('parts-name', name);
  put({ list: name });
  askAgain();
}

input.addEventListener('change', async () => {
  const file = input.files[0];
  if (!file) return;
  input.value = '';
  if (file.size > Number(input.dataset.most)) {
    show('parts', [{ field: 'parts', text: `${file.name} is longer than the page reads: leave only the parts of about the right size` }]);
    return;
  }
  pasted.value = '';
  take(file.name, await file.text());
});
pasted.addEventListener('input', () => take(pasted.value.trim() && 'pasted.csv', pasted.value));
