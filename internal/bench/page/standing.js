// Where the job stands: the answer, what contradicts, the next step as a button, the parts of the list, and what to order.

import { form, query, remember } from './fields.js';
import { getJSON, latest } from './ask.js';
import { show } from './faults.js';
import { make, fillList } from './make.js';
import { edit } from './job.js';
import { list, tell } from './parts.js';

const place = Object.fromEntries(['answer', 'clashes', 'order'].map((id) => [id, document.getElementById(id)]));
const nexts = [...document.querySelectorAll('.next')]; // where it is read, and where a try changes it
let step = null;
let goOn = () => {};

/** take makes the next step, as far as the page can: an edit, fields to fill, a place to go to. */
async function take() {
  const { do: deed, fill, focus } = step;
  if (deed) {
    const { do: name, ...more } = deed;
    await edit(name, more);
    return;
  }
  const changed = Object.entries(fill ?? {}).filter(([name, text]) => text && form.elements[name] && form.elements[name].value !== text);
  for (const [name, text] of changed) form.elements[name].value = text;
  const to = document.getElementById(focus);
  for (let d = to?.closest('details'); d; d = d.parentElement.closest('details')) d.open = true;
  to?.focus();
  to?.scrollIntoView({ block: 'center' });
  if (changed.length) {
    remember(null);
    goOn();
  }
}
for (const next of nexts) next.querySelector('button').addEventListener('click', take);

function order(o) {
  const names = make('ul', { className: 'notes' });
  fillList(names, o.names);
  const doubts = make('ul', { className: 'notes' });
  fillList(doubts, o.doubts, 'clash');
  return [names, make('p', { textContent: `First ${o.ask}.` }), doubts];
}

/** standing returns a function that asks where the job stands; filled is called when the next step filled fields. */
export function standing(filled) {
  goOn = filled;
  return latest(async () => {
    const found = await getJSON(`/api/standing?${query()}`, { method: 'POST', body: list() });
    if (!found) return;
    show('standing', found.faults.filter((f) => ['standing', 'parts', 'list.unit'].includes(f.field)));
    place.answer.replaceChildren(...found.answer.map((text) => make('li', { textContent: text })));
    place.clashes.replaceChildren();
    fillList(place.clashes, found.contradictions, 'clash');
    step = found.next;
    for (const next of nexts) {
      const button = next.querySelector('button');
      next.hidden = !step;
      next.querySelector('span').textContent = step?.text ?? '';
      button.textContent = step?.button ?? '';
      button.hidden = !step?.button;
    }
    place.order.hidden = !found.order;
    place.order.replaceChildren(...(found.order ? order(found.order) : []));
    tell(found.list);
  });
}
