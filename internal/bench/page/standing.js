// Where the job stands: the answer, what contradicts, the next step as a button, the parts of the list, and what to order.

import { put, query } from './store.js';
import { question } from './questions.js';
import { getJSON } from './ask.js';
import { make, fillList } from './make.js';
import { edit } from './job.js';
import { list, tell as tellParts } from './parts.js';
import { reveal } from './guide.js';

const place = Object.fromEntries(['answer', 'clashes', 'order'].map((id) => [id, document.getElementById(id)]));
const nexts = [...document.querySelectorAll('.next')]; // where it is read, and where a try changes it
let step = null;

/** take makes the next step, as far as the page can: an edit, fields to fill, a place to go to. */
async function take() {
  const { do: deed, fill, focus } = step;
  if (deed) {
    const { do: name, ...more } = deed;
    await edit(name, more);
    return;
  }
  put(Object.fromEntries(Object.entries(fill ?? {}).filter(([, text]) => text)));
  const to = document.getElementById(focus);
  if (to) reveal(to);
}
for (const next of nexts) next.querySelector('button').addEventListener('click', take);

function order(o) {
  const names = make('ul', { className: 'notes' });
  fillList(names, o.names);
  const doubts = make('ul', { className: 'notes' });
  fillList(doubts, o.doubts, 'clash');
  return [names, make('p', { textContent: `First ${o.ask}.` }), doubts];
}

const nothing = { answer: [], contradictions: [], next: null, order: null, list: { parts: [], more: 0, skipped: [], notes: [] } };

let stands = nothing;
/** contradictions are what cannot all be right in the job, as it was answered last. */
export function contradictions() {
  return stands.contradictions;
}

function tell(found) {
  stands = found ?? nothing;
  if (stands.answer.length || !found) {
    place.answer.replaceChildren(...stands.answer.map((text) => make('li', { textContent: text })));
    place.clashes.replaceChildren();
    fillList(place.clashes, stands.contradictions, 'clash');
    step = stands.next;
    for (const next of nexts) {
      const button = next.querySelector('button');
      next.hidden = !step;
      next.querySelector('span').textContent = step?.text ?? '';
      button.textContent = step?.button ?? '';
      button.hidden = !step?.button;
    }
    place.order.hidden = !stands.order;
    place.order.replaceChildren(...(stands.order ? order(stands.order) : []));
  }
  tellParts(stands.list, found?.faults.length > 0);
}

question({
  teller: 'standing',
  input: () => `${query('unit', 'instrument', 'among', 'stays.', 'goes.', 'list', 'list.unit', 'made', 'gauge', 'job', 'name', 'inner', 'outer', 'printer')}\n${list()}`,
  ask(input) {
    const [fields] = input.split('\n', 1);
    return getJSON(`api/standing?${fields}`, { method: 'POST', body: input.slice(fields.length + 1) });
  },
  tell,
  own: (f) => ['standing', 'parts', 'list.unit'].includes(f.field),
  good: (found) => found.answer.length > 0,
  places: [document.getElementById('standing'), document.getElementById('ranked')],
});
