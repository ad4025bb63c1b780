// The bar of the guided way: where the job stands, in a line, and each word of it leads there.

import { value, whenChanged } from './store.js';
import { make, percent } from './make.js';
import { go, reveal } from './guide.js';
import { shownRing } from './ring.js';
import { contradictions } from './standing.js';
import { likeliest } from './readings.js';

const chips = document.getElementById('chips');

/** chip is one word of the bar: what it is of, how that stands, and where it leads. */
function chip(of, words, lead, alert = false) {
  const b = make('button', { type: 'button', className: alert ? 'alert' : '' }, make('span', { textContent: of }), ` ${words}`);
  b.addEventListener('click', lead);
  return b;
}

/** warned are the things to think about before anything is printed: of the ring, and of the job. */
function warned() {
  return (shownRing()?.checks ?? []).filter((c) => c.level === 'warn' || c.level === 'stop').length + contradictions().length;
}

/** short is a thread's name without the words for its series. */
const short = (name) => name.replace(/ UN[A-Z]*$/, '');

/** thread is the one that a field names, or the likely one with a question mark. */
const thread = (field, side) => short(value(field)) || `${short(likeliest(side))}?`;

/** tellBar writes the bar anew. */
function tellBar() {
  if (document.getElementById('bar').hidden) return;
  const faults = [...document.querySelectorAll('.fault[id]:not([hidden])')];
  const n = warned();
  const ring = shownRing();
  chips.replaceChildren(
    chip('stays', thread('outer', 'stays'), () => go('stays.name')),
    chip('goes in', thread('inner', 'goes'), () => go('goes.name')),
    ...(ring ? [chip('goes', percent(ring.chance), () => go('look'))] : []),
    ...(n ? [chip(String(n), n === 1 ? 'warning' : 'warnings', () => go(contradictions().length ? 'stands' : 'take'), true)] : []),
    ...(faults.length ? [chip(String(faults.length), 'to mend', () => reveal(document.getElementById(faults[0].id.replace('fault-', ''))), true)] : []),
    chip('job', 'next', () => go('stands')),
  );
}
whenChanged(tellBar);
for (const moment of ['told', 'screen']) addEventListener(moment, tellBar);
