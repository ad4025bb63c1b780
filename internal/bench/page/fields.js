// The fields of the form: what a hand writes goes into the store, and what the store holds stands in them.

import { know, put, replace, value, whenChanged } from './store.js';

export const form = document.getElementById('bench');

const named = [...form.elements].filter((e) => e.name && e.type !== 'file');
know(new Set(named.map((e) => e.name)));

/** show writes what the store holds into a control, where it is something else. */
function show(control) {
  const text = value(control.name);
  if (control.type === 'radio') control.checked = control.value === text;
  else if (control.value.trim() !== text.trim()) {
    if (control.tagName === 'SELECT' && ![...control.options].some((o) => o.value === text)) control.add(new Option(text, text)); // a word of the file's own
    control.value = text;
  }
}

whenChanged((names, hand) => {
  for (const e of named) {
    if (e.name === hand || !names.includes(e.name)) continue;
    show(e);
    if (e.value) for (let d = e.closest('details'); d; d = d.parentElement.closest('details')) d.open = true;
  }
  showUnits();
});

/** fill makes the fields what a query says. What a hand changed since asked was read stays. */
export function fill(params, asked) {
  replace(params, asked);
  showUnits();
}

export function unit() {
  return value('unit');
}

const bareNumber = /^[\s\d.,/±+\-–½⅓⅔¼¾⅛⅜⅝⅞]*\d[\s\d.,/±+\-–½⅓⅔¼¾⅛⅜⅝⅞]*$/;
const words = (system) => (system === 'inch' ? { length: 'in', pitch: 'tpi' } : { length: 'mm', pitch: 'mm' });

/** showUnits writes beside each field what a bare number in it means, and asks where that is hardly meant. */
export function showUnits() {
  for (const input of form.querySelectorAll('input[data-unit]')) {
    input.nextElementSibling.textContent = /[a-z"″”°]/i.test(input.value) ? '' : words(unit())[input.dataset.unit];
    // A phone's number pad has no letters for "tpi", no "/" and no space.
    const text = unit() === 'inch' || input.dataset.unit === 'pitch' ? 'text' : 'decimal';
    input.inputMode = document.documentElement.classList.contains('own-keys') ? 'none' : text;
    doubt(input);
  }
}

/** doubt asks about a pitch that hardly any thread has: 14 mm, or 14 to the inch? Both answers write the unit. */
function doubt(input) {
  if (input.dataset.unit !== 'pitch') return;
  const place = document.getElementById(`ask-${input.name}`);
  const bare = input.value.split(';').map((one) => one.trim()).find((one) => bareNumber.test(one)) ?? '';
  const number = parseFloat(bare.replace(',', '.'));
  const odd = unit() === 'inch' ? number < 3 : number >= 5;
  place.hidden = !odd;
  if (!odd) return;
  place.querySelector('span').textContent = `${bare} ${unit() === 'inch' ? 'threads to the inch' : 'mm from crest to crest'}?`;
  place.querySelectorAll('button').forEach((b, i) => {
    b.textContent = [`${bare} mm`, `${bare} tpi`][i];
    b.onclick = () => {
      put({ [input.name]: input.value.replace(bare, b.textContent) });
      input.focus();
    };
  });
}

/** withUnits is bare numbers with the unit that they were typed in, before the switch changes what they would mean: changes for put. */
export function withUnits(before) {
  const changes = {};
  for (const input of form.querySelectorAll('input[data-unit]')) {
    changes[input.name] = input.value
      .split(';')
      .map((one) => (bareNumber.test(one) && !(before === 'mm' && one.includes('/')) ? `${one.trimEnd()} ${words(before)[input.dataset.unit]}` : one))
      .join(';');
  }
  return changes;
}
