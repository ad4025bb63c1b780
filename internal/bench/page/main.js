// The page as a whole: what follows when a field changes.

import { form, fill, unit, showUnits, keepMeaning, remember, finished, left } from './fields.js';
import { getJSON, latest } from './ask.js';
import { typed, settle } from './faults.js';
import { part, typedIn } from './readings.js';
import { ring, ready } from './ring.js';
import { point } from './files.js';
import { ask, edit, opener, whenChanged } from './job.js';
import { keep } from './parts.js';
import { standing } from './standing.js';
import { ladder, printed } from './ladder.js';
import { tries } from './try.js';
import { photo } from './photo.js';
import { make } from './make.js';

const cards = [...document.querySelectorAll('[data-part]')];
const parts = cards.map(part);
let moved = true; // whether the job stands elsewhere than when it was last asked
const askRing = ring((good) => {
  point(good);
  requestAnimationFrame(() => setTimeout(() => { // what a person looks at comes first
    askLadder();
    if (moved) askStanding();
    moved = false;
  }));
});
const askLadder = ladder({
  fitted(gap) {
    form.elements.clearance.value = gap;
    form.elements.inner_clearance.value = form.elements.outer_clearance.value = '';
    remember(null);
    ringChanged();
    form.elements.clearance.focus();
  },
  changed() {
    remember(null);
    askLadder();
  },
  learnt() {
    remember(null);
    ringChanged();
  },
});

const recount = photo(() => {
  remember(null);
  parts[cards.findIndex((card) => card.dataset.part === 'goes')].identify();
  showUnits();
});
const askTries = tries();
const askStanding = standing(arrived);

function ringChanged() {
  askRing(); // first of all: a person waits for it
  showUnits();
  point(ready());
}

function threadsChanged() {
  moved = true;
  for (const p of parts) p.press();
  ringChanged();
}

function allChanged() {
  for (const p of parts) p.identify();
  askTries();
  threadsChanged();
}

// While a thread is written, the names that hold what is written are offered.
const names = document.getElementById('names');
const offer = latest(async () => {
  const text = document.activeElement.value ?? '';
  const found = await getJSON(`/api/threads?${new URLSearchParams({ text })}`);
  if (found) names.replaceChildren(...found.map((value) => make('option', { value })));
});

function changed(name) {
  if (['goes.outside', 'photo.distance', 'instrument'].includes(name)) recount();
  if (name.startsWith('photo.')) {
    showUnits();
    return;
  }
  const at = cards.findIndex((card) => name.startsWith(`${card.dataset.part}.`));
  if (at >= 0 || name === 'instrument' || name === 'among') {
    (at >= 0 ? [parts[at]] : parts).forEach((p) => p.identify());
    askTries();
    askStanding();
  } else if (name.endsWith('.turns')) return;
  else if (name === 'inner' || name === 'outer') threadsChanged();
  else if (name === 'tried.end') askLadder();
  else if (name.startsWith('ladder.')) {
    printed(); // it is another one
    askLadder();
  }
  else if (name.startsWith('list')) askStanding();
  else {
    moved ||= name === 'printer';
    ringChanged();
  }
  showUnits();
  point(ready());
}

let before = 'mm';
let by = ''; // what the fields were read with, so far

/** changeInstrument asks what read the readings that stand in the fields: they keep what they were read with. */
async function changeInstrument(select) {
  const to = select.value;
  const words = (value) => [...select.options].find((o) => o.value === value).text;
  const said = await ask('With which of the two was read what stands in the fields?', words(by), words(to));
  select.value = by;
  if (said === 'yes' ? await edit('keep') : said === 'no') select.value = to;
  by = select.value;
  changed('instrument');
  remember(null);
}

form.addEventListener('input', (e) => {
  const { name, type } = e.target;
  if (!name || type === 'file') return;
  if (name === 'unit') {
    keepMeaning(before);
    before = unit();
    remember(null);
    allChanged();
    return;
  }
  if (name === 'instrument' && cards.some((card) => typedIn(card.dataset.part))) {
    changeInstrument(e.target);
    return;
  }
  by = form.elements.instrument.value;
  typed();
  changed(name);
  remember(type === undefined || type === 'text' ? name : null);
  if (name === 'inner' || name === 'outer') offer();
});
form.addEventListener('change', finished);
form.addEventListener('focusout', settle);
form.addEventListener('submit', (e) => e.preventDefault());
form.addEventListener('keydown', (e) => {
  if (e.key === 'Enter' && e.target.matches('input:not([type])')) settle();
});
for (const key of ['inner', 'outer']) form.elements[key].setAttribute('list', 'names');

/** arrived goes on from fields that were filled at once. */
function arrived() {
  before = unit();
  by = form.elements.instrument.value;
  allChanged();
}

function restore() {
  left();
  fill(new URLSearchParams(location.search));
  arrived();
  settle();
}
addEventListener('popstate', restore);
keep(() => {
  remember(null);
  askStanding();
});
opener();
whenChanged(arrived);
restore();
document.documentElement.dataset.ready = 'yes';
