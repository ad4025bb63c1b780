// The fields of the page, and the address that holds what they hold.

export const form = document.getElementById('bench');

/** named lists the controls that the address keeps. */
function named() {
  return [...form.elements].filter((e) => e.name && e.type !== 'file');
}

/** usual is what a control holds when nothing was chosen. */
function usual(control) {
  return control.name === 'unit' ? 'mm' : '';
}

/** query holds every field that is not as it is on a fresh page. */
export function query() {
  const out = new URLSearchParams();
  for (const e of named()) {
    if (e.type === 'radio' && !e.checked) continue;
    const text = e.value.trim();
    if (text !== usual(e)) out.set(e.name, text);
  }
  return out;
}

/** fill puts a query into the fields; what it does not name becomes usual. What a hand changed since asked was read stays. */
export function fill(params, asked) {
  for (const e of named()) {
    if (asked && e.type !== 'radio' && e.value.trim() !== (asked.get(e.name) ?? '')) continue;
    const text = params.get(e.name) ?? usual(e);
    if (e.type === 'radio') e.checked = e.value === text;
    else if (e.tagName === 'SELECT' && ![...e.options].some((o) => o.value === text)) e.add(new Option(text, text, false, true)); // a word of the file's own
    else e.value = text;
  }
  for (const d of form.querySelectorAll('details')) {
    if ([...d.querySelectorAll('input, select')].some((e) => e.value)) d.open = true;
  }
  showUnits();
}

export function unit() {
  return form.elements.unit.value;
}

/** showUnits writes beside each field what a bare number in it means. */
export function showUnits() {
  const words = unit() === 'inch' ? { length: 'in', pitch: 'tpi' } : { length: 'mm', pitch: 'mm' };
  for (const input of form.querySelectorAll('input[data-unit]')) {
    input.nextElementSibling.textContent = /[a-z"″”°]/i.test(input.value) ? '' : words[input.dataset.unit];
    // A phone's number pad has no letters for "tpi", no "/" and no space.
    input.inputMode = unit() === 'inch' || input.dataset.unit === 'pitch' ? 'text' : 'decimal';
  }
}

/** keepMeaning gives bare numbers the unit that they were typed in, before the switch changes what they would mean. */
export function keepMeaning(before) {
  const words = before === 'inch' ? { length: ' in', pitch: ' tpi' } : { length: ' mm', pitch: ' mm' };
  for (const input of form.querySelectorAll('input[data-unit]')) {
    input.value = input.value
      .split(';')
      .map((one) => (/^[\s\d.,/±+\-–½⅓⅔¼¾⅛⅜⅝⅞]*\d[\s\d.,/±+\-–½⅓⅔¼¾⅛⅜⅝⅞]*$/.test(one) && !(before === 'mm' && one.includes('/')) ? one.trimEnd() + words[input.dataset.unit] : one))
      .join(';');
  }
}

// One step back is one finished entry: typing on in a field rewrites the entry that its first letter made.
let typing = null;

// Writing the address holds the whole page up, for tens of milliseconds on a busy machine. It waits for the hand to rest, and
// for no longer: what leaves the field or the page writes it first.
const rest = 300;
let waiting = null; // the address to write, and whether it takes the place of the one before
let timer = 0;

function write(address, replace) {
  if (address === location.search || (address === location.pathname && !location.search)) return;
  if (replace) history.replaceState(null, '', address);
  else history.pushState(null, '', address);
}

function flush() {
  clearTimeout(timer);
  if (waiting) write(waiting.address, waiting.replace);
  waiting = null;
}

/** remember writes the fields into the address. name is the field being typed in, null for a finished entry. */
export function remember(name) {
  const text = query().toString();
  const address = text ? `?${text}` : location.pathname;
  if (address === (waiting?.address ?? (location.search || location.pathname))) return;
  const again = name !== null && name === typing;
  typing = name;
  if (!again) flush();
  if (name === null) {
    write(address, false);
    return;
  }
  if (waiting) waiting.address = address;
  else waiting = { address, replace: again };
  clearTimeout(timer);
  timer = setTimeout(flush, rest);
}

/** finished ends the entry that is being typed. */
export function finished() {
  flush();
  typing = null;
}

/** left ends it without a trace, where the address became another one. */
export function left() {
  clearTimeout(timer);
  waiting = typing = null;
}

addEventListener('keydown', (e) => {
  if (e.ctrlKey || e.metaKey || e.altKey || (e.key.length > 1 && e.key !== 'Backspace' && e.key !== 'Delete')) flush();
}, true);
for (const leaves of ['pagehide', 'blur']) addEventListener(leaves, flush);
document.documentElement.addEventListener('pointerleave', flush);
