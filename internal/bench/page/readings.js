// One part: its readings, the threads they could be, and the one that was picked.

import { form } from './fields.js';
import { getJSON } from './ask.js';
import { query, value, whenChanged } from './store.js';
import { question } from './questions.js';
import { make, percent, fillList } from './make.js';
import { edit } from './job.js';
import { reveal } from './guide.js';

const instruments = form.elements.instrument;

/** typedIn tells whether readings of a part stand in the fields. */
export function typedIn(name) {
  return query(`${name}.`).toString() !== '';
}

const likely = new Map(); // by side, the thread that is likelier than all others together

/** likeliest is a side's likely thread, "" for none. */
export function likeliest(side) {
  return likely.get(side) ?? '';
}

/** part wires one card of the page, and returns its question. */
export function part(card) {
  const name = card.dataset.part;
  const { thread } = card.dataset;
  const kept = card.querySelector('.kept');
  const again = card.querySelector('.again');
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
      if (c.pick) box.addEventListener('click', () => edit('take', { side: name, thread: c.designation }));
      items.set(c.designation, li);
    }
    li.querySelector('.share').textContent = percent(c.weight);
    li.querySelector('.bar').style.setProperty('--share', `${100 * c.weight}%`);
    return li;
  }

  /** row shows one reading of the job, to be changed and taken out where it stands. */
  function row(r) {
    const text = make('input', { id: r.row, value: r.text, maxLength: 200, spellcheck: false, autocapitalize: 'off' });
    text.setAttribute('aria-describedby', `says-${r.row} fault-${r.row}`);
    text.addEventListener('change', () => edit('change', { id: r.id, text: text.value }));
    const box = make('div', { className: 'with' }, text);
    if (r.measured) {
      const by = instruments.cloneNode(true);
      by.removeAttribute('name');
      by.id = `by-${r.row}`;
      by.setAttribute('aria-label', `${r.what} ${r.text}, read with`);
      by.value = r.instrument;
      by.addEventListener('change', () => edit('change', { id: r.id, text: r.text, by: by.value }));
      box.append(by);
    }
    const out = make('button', { type: 'button', textContent: 'Take out' });
    out.setAttribute('aria-label', `Take out: ${r.what} ${r.text}`);
    out.addEventListener('click', () => edit('drop', { id: r.id }));
    box.append(out);
    return make('li', {}, make('label', { htmlFor: r.row, textContent: r.what }), box,
      make('small', { id: `says-${r.row}`, textContent: r.says }), make('p', { id: `fault-${r.row}`, className: 'fault', hidden: true }));
  }

  let shown = '[]'; // the readings that stand there: they are not put anew under a hand that changes them
  function renderKept(readings) {
    const now = JSON.stringify(readings);
    if (now === shown) return;
    shown = now;
    const held = kept.contains(document.activeElement) ? document.activeElement.id : '';
    kept.replaceChildren(...readings.map(row));
    kept.hidden = readings.length === 0;
    if (held) document.getElementById(held)?.focus();
  }

  /** lookAgain leads from a question to the reading that it names, or to the first. */
  function lookAgain(text) {
    const b = make('button', { type: 'button', textContent: 'Look again' });
    const named = () => [...card.querySelectorAll('.kept input, .field input')].find((e) => e.value.trim() && e.name !== thread && text.includes(e.value.trim()));
    b.addEventListener('click', () => reveal(named() ?? card.querySelector('.row input')));
    return b;
  }

  again.addEventListener('click', async () => {
    if (await edit('keep')) reveal(card.querySelector('.row input'));
  });

  function press() {
    for (const b of list.querySelectorAll('button')) {
      b.setAttribute('aria-pressed', String(b.querySelector('.name').textContent === value(thread).trim()));
    }
  }

  whenChanged((names) => {
    if (names.includes(thread)) press();
  });

  const nothing = { readings: [], candidates: [], contradictions: [], questions: [], notes: [], read: '', next: '' };
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
    notes.append(...found.questions.map((text) => make('li', { className: 'ask' }, make('span', { textContent: text }), ' ', lookAgain(text))));
    fillList(notes, [...found.notes, ...(found.next ? [found.next] : [])], 'soft');
    const told = found.candidates.filter((c) => c.pick);
    whys.hidden = told.length === 0;
    whys.querySelector('dl').replaceChildren(
      ...told.flatMap((c) => [make('dt', { textContent: c.designation }), make('dd', { textContent: `${c.why[0].toUpperCase()}${c.why.slice(1)}.` })]),
    );
    likely.set(name, found.candidates.find((c) => c.pick && c.weight > 0.5)?.designation);
    press();
  }

  return question({
    teller: name,
    input: () => query(`${name}.`, 'unit', 'instrument', 'among', 'job').toString(),
    ask: (input) => getJSON(`api/identify?${input}&part=${name}`),
    tell(found) {
      renderKept((found ?? nothing).readings);
      again.hidden = !typedIn(name);
      if (!found?.faults.length) render(found ?? nothing);
    },
    places: [card.querySelector('.found')],
  });
}
