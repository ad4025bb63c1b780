// The keys of the guided way: all that a reading is written with, which no keypad of a phone has at once.

import { make } from './make.js';
import { showUnits } from './fields.js';

const root = document.documentElement;
const pad = document.getElementById('pad');
const takes = 'input[data-unit], input[inputmode]'; // what is written in with these keys

/** On each key what it writes; those with a deed write nothing. */
const rows = [
  ['7', '8', '9', 'delete'],
  ['4', '5', '6', '/'],
  ['1', '2', '3', ' '],
  ['.', '0', '±', ' tpi'],
  [' mm', ' in', ';', 'letters'],
];
const faces = { ' ': ['␣', 'space'], '/': ['/', 'fraction bar'], '±': ['±', 'plus or minus'], delete: ['⌫', 'delete'], letters: ['abc', 'the keyboard of this device'], ' tpi': ['tpi', 'tpi, threads to the inch'], ';': [';', 'and another reading'] };

/** field is the one that is written in: where the hand is, or the first on the screen. */
function field() {
  const here = document.activeElement;
  return here.matches(takes) ? here : [...document.querySelectorAll(takes)].find((e) => e.checkVisibility());
}

function write(field, text) {
  const [from, to] = [field.selectionStart, field.selectionEnd];
  if (text === 'delete') field.setRangeText('', from === to ? Math.max(0, from - 1) : from, to, 'end');
  else field.setRangeText(text, from, to, 'end');
  field.dispatchEvent(new InputEvent('input', { bubbles: true }));
}

function press(key) {
  const to = field();
  to.focus({ preventScroll: true });
  if (key !== 'letters') write(to, key);
  else {
    root.classList.remove('own-keys');
    showUnits();
    pad.hidden = true;
    to.blur(); // a phone looks at what a field takes when it gets the focus
    to.focus();
  }
}

for (const key of rows.flat()) {
  const [face, words] = faces[key] ?? [key.trim(), key.trim()];
  const b = make('button', { type: 'button', textContent: face, tabIndex: -1 });
  b.setAttribute('aria-label', words);
  b.dataset.key = key.trim() || 'space';
  b.addEventListener('pointerdown', (e) => e.preventDefault()); // the field keeps the focus
  b.addEventListener('click', () => press(key));
  pad.append(b);
}

addEventListener('screen', () => {
  showUnits();
  pad.hidden = !root.classList.contains('own-keys');
});
