// What the printed ring did on the real thread: pressed as a button, told in words, kept in a hidden field.

import { form, query } from './fields.js';
import { getJSON, latest } from './ask.js';
import { show } from './faults.js';
import { make, percent, fillList } from './make.js';

const kept = form.elements.tries;
const blocks = new Map([...document.querySelectorAll('#try [data-side]')].map((b) => [b.dataset.side, b]));

/** without leaves out one line of those that are kept. */
function without(line) {
  const lines = kept.value.split(';');
  lines.splice(lines.lastIndexOf(line), 1);
  return lines.join(';');
}

/** tries wires the buttons; changed is called with the side whose tries became other ones. */
export function tries(changed) {
  function keep(text, side) {
    kept.value = text;
    changed(side);
  }

  function item(t) {
    const words = `${t.ring}: ${t.result}`;
    const back = make('button', { type: 'button', textContent: 'Take back' });
    back.setAttribute('aria-label', `Take back: ${words}`);
    back.addEventListener('click', () => {
      keep(without(t.line), t.side);
      blocks.get(t.side).querySelector('button').focus();
    });
    const li = make('li', {}, make('p', { className: 'head' }, make('span', { textContent: words }), back));
    if (t.next) li.append(make('p', { className: 'next' }, make('b', { textContent: 'Next: ' }), t.next));
    if (t.weights.length) {
      const now = make('ul', { className: 'notes' });
      fillList(now, t.weights.map((c) => `${c.designation}: ${percent(c.weight)}, was ${percent(c.before)}`));
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
    const asked = query();
    asked.set('side', side);
    asked.set('result', result);
    const found = await getJSON(`/api/try?${asked}`);
    if (!found) return;
    show('try', found.faults);
    if (found.faults.length) {
      if (found.faults[0].field.endsWith('.turns')) form.elements[found.faults[0].field].focus();
      return;
    }
    form.elements[`${side}.turns`].value = '';
    tell(found.told);
    keep(found.tries, side);
  }
  for (const [side, block] of blocks) {
    for (const b of block.querySelectorAll('[data-result]')) b.addEventListener('click', () => press(side, b.dataset.result));
    form.elements[`${side}.turns`].addEventListener('keydown', (e) => {
      if (e.key === 'Enter') press(side, 'stops');
    });
  }

  return latest(async () => {
    if (!kept.value) {
      show('try', []);
      tell([]);
      return;
    }
    const found = await getJSON(`/api/try?${query()}`);
    if (!found) return;
    show('try', found.faults);
    if (!found.faults.length) tell(found.told);
  });
}
