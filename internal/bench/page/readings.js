// One part: its readings, the threads they could be, and the one that was picked.

import { form, query } from './fields.js';
import { getJSON, latest } from './ask.js';
import { show } from './faults.js';
import { make, percent, fillList } from './make.js';

/** part wires one card of the page; picked is called when a thread was picked. */
export function part(card, picked) {
  const name = card.dataset.part;
  const thread = form.elements[card.dataset.thread];
  const list = card.querySelector('.candidates');
  const notes = card.querySelector('.notes');
  const whys = card.querySelector('.whys');
  const items = new Map(); // by designation, so that a candidate keeps its button while it moves

  function item(c) {
    let li = items.get(c.designation);
    if (!li) {
      const box = c.pick ? make('button', { type: 'button' }) : make('div', { className: 'rest' });
      box.append(
        make('span', { className: 'bar' }),
        make('span', { className: 'name', textContent: c.designation }),
        make('span', { className: 'share' }),
        make('small', { textContent: c.standard }),
      );
      li = make('li', {}, box);
      if (c.pick) {
        box.addEventListener('click', () => {
          thread.value = c.designation;
          picked();
        });
      }
      items.set(c.designation, li);
    }
    li.querySelector('.share').textContent = percent(c.weight);
    li.querySelector('.bar').style.setProperty('--share', `${100 * c.weight}%`);
    return li;
  }

  function press() {
    for (const b of list.querySelectorAll('button')) {
      b.setAttribute('aria-pressed', String(b.querySelector('.name').textContent === thread.value.trim()));
    }
  }

  function render(found) {
    card.querySelector('.read').textContent = found.read && `Read: ${found.read}`;
    const wanted = found.candidates.map(item);
    for (const li of [...list.children]) if (!wanted.includes(li)) li.remove();
    wanted.forEach((li, i) => {
      if (list.children[i] !== li) {
        const held = li.contains(document.activeElement) ? document.activeElement : null;
        list.insertBefore(li, list.children[i] ?? null);
        held?.focus();
      }
    });
    for (const [designation, li] of items) if (!li.isConnected) items.delete(designation);
    notes.replaceChildren();
    fillList(notes, found.contradictions, 'clash');
    fillList(notes, [...found.notes, ...(found.next ? [found.next] : [])], 'soft');
    const told = found.candidates.filter((c) => c.pick);
    whys.hidden = told.length === 0;
    whys.querySelector('dl').replaceChildren(
      ...told.flatMap((c) => [make('dt', { textContent: c.designation }), make('dd', { textContent: `${c.why[0].toUpperCase()}${c.why.slice(1)}.` })]),
    );
    press();
  }

  const identify = latest(async () => {
    const asked = query();
    asked.set('part', name);
    const found = await getJSON(`/api/identify?${asked}`);
    if (!found) return;
    show(name, found.faults);
    if (!found.faults.length) render(found);
  });
  return { identify, press };
}
