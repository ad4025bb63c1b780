// What the printed ring did on the real thread: pressed as a button, kept in the job, told in words.

import { form } from './fields.js';
import { query, value } from './store.js';
import { question } from './questions.js';
import { getJSON } from './ask.js';
import { show } from './faults.js';
import { edit } from './job.js';
import { make, percent, fillList } from './make.js';

const ring = document.getElementById('made-ring');
const blocks = new Map([...document.querySelectorAll('#try [data-side]')].map((b) => [b.dataset.side, b]));

function item(t) {
  const words = `${t.ring}: ${t.result}`;
  const back = make('button', { type: 'button', textContent: 'Take back' });
  back.setAttribute('aria-label', `Take back: ${words}`);
  back.addEventListener('click', async () => {
    if (await edit('drop', { id: t.try })) blocks.get(t.side).querySelector('button').focus();
  });
  const li = make('li', {}, make('p', { className: 'head' }, make('span', { textContent: words }), back));
  for (const text of t.doubts) li.append(make('p', { className: 'fault', textContent: `Doubtful: ${text}.` }));
  if (t.candidates.length) {
    const now = make('ul', { className: 'notes' });
    fillList(now, t.candidates.map((c) => `${c.designation}: ${percent(c.weight)}, was ${percent(c.before)}`));
    li.append(now);
  }
  if (t.meaning.length) {
    const why = make('ul', { className: 'notes' });
    fillList(why, t.meaning, 'soft');
    li.append(why);
  }
  return li;
}

function tell(told) {
  for (const [side, block] of blocks) block.querySelector('ol').replaceChildren(...told.filter((t) => t.side === side).reverse().map(item));
}

async function press(side, result) {
  const turns = form.elements[`${side}.turns`];
  if (!(await edit('try', { side, result })) && result === 'stops' && !value(turns.name)) turns.focus();
}
for (const [side, block] of blocks) {
  for (const b of block.querySelectorAll('[data-result]')) b.addEventListener('click', () => press(side, b.dataset.result));
  form.elements[`${side}.turns`].addEventListener('keydown', (e) => {
    if (e.key === 'Enter') press(side, 'stops');
  });
}

const input = document.getElementById('open-ring');
input.addEventListener('change', async () => {
  const file = input.files[0];
  const found = file && (await getJSON('api/made', { method: 'POST', body: file }));
  input.value = '';
  if (!found) return;
  show('made', found.faults);
  if (!found.faults.length) await edit('made', { ring: found.made });
});

question({
  teller: 'try',
  input: () => (value('job') ? query('job', 'made', 'gauge', 'unit', 'instrument', 'among', 'stays.', 'goes.').toString() : null),
  ask: (input) => getJSON(`api/try?${input}`),
  tell(found) {
    ring.textContent = found?.ring ? `${found.ring}.` : '';
    if (!found?.faults.length) tell(found?.told ?? []);
  },
  places: [...blocks.values()].map((block) => block.querySelector('.told')),
});
