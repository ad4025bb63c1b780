// The page as a whole: what a hand does to the fields, and what then follows.

import { put, query, value, whenChanged } from './store.js';
import { form, unit, withUnits } from './fields.js';
import { finished } from './address.js';
import { getJSON, latest } from './ask.js';
import { typed, settle } from './faults.js';
import { ring } from './ring.js';
import { part, typedIn } from './readings.js';
import { point } from './files.js';
import { ask, edit, opener } from './job.js';
import { printed } from './ladder.js';
import { make } from './make.js';
import { begin } from './guide.js';
import './bar.js';
import './standing.js';
import './try.js';
import './photo.js';
import './keypad.js';

const cards = [...document.querySelectorAll('[data-part]')];
cards.forEach(part);
whenChanged(() => point(ring.holds()));
addEventListener('told', ({ detail }) => {
  if (detail === 'ring') point(ring.holds());
});

// While a thread is written, the names that hold what is written are offered.
const names = document.getElementById('names');
const offer = latest(async () => {
  const text = document.activeElement.value ?? '';
  const found = await getJSON(`api/threads?${new URLSearchParams({ text })}`);
  if (found) names.replaceChildren(...found.map((word) => make('option', { value: word })));
});

/** changeInstrument asks what read the readings that stand in the fields: they keep what they were read with. */
async function changeInstrument(select) {
  const [from, to] = [value('instrument'), select.value];
  const words = (one) => [...select.options].find((o) => o.value === one).text;
  const said = await ask('With which of the two was read what stands in the fields?', words(from), words(to));
  if (said === 'yes' ? await edit('keep') : said === 'no') put({ instrument: to });
  select.value = value('instrument');
}

form.addEventListener('input', (e) => {
  const { name, type } = e.target;
  if (!name || type === 'file') return;
  if (name === 'unit') put({ ...withUnits(unit()), unit: e.target.value });
  else if (name === 'instrument' && cards.some((card) => typedIn(card.dataset.part))) changeInstrument(e.target);
  else {
    typed();
    put({ [name]: e.target.value }, e.target.tagName === 'INPUT' ? name : null);
    if (name.startsWith('ladder.')) printed(); // it is another one
  }
  if (name === 'inner' || name === 'outer') offer();
});
form.addEventListener('change', finished);
form.addEventListener('focusout', settle);
form.addEventListener('submit', (e) => e.preventDefault());
form.addEventListener('keydown', (e) => {
  if (e.key === 'Enter' && e.target.matches('input:not([type])')) settle();
});
for (const key of ['inner', 'outer']) form.elements[key].setAttribute('list', 'names');

opener();
begin(settle);
document.documentElement.dataset.ready = 'yes';
