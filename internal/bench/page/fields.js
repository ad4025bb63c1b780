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
    if ((e.type === 'radio' || e.type === 'checkbox') && !e.checked) continue;
    const text = e.value.trim();
    if (text !== usual(e)) out.set(e.name, text);
  }
  return out;
}

/** fill puts a query into the fields; what it does not name becomes usual. */
export function fill(params) {
  for (const e of named()) {
    const text = params.get(e.name) ?? usual(e);
    if (e.type === 'radio' || e.type === 'checkbox') e.checked = e.value === text;
    else if (e.tagName === 'SELECT') e.value = [...e.options].some((o) => o.value === text) ? text : '';
    else e.value = text;
  }
  for (const d of form.querySelectorAll('details')) {
    if ([...d.querySelectorAll('input, select')].some((e) => (e.type === 'checkbox' ? e.checked : e.value))) d.open = true;
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
    input.inputMode = unit() === 'inch' ? 'text' : 'decimal';
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

/** remember writes the fields into the address. name is the field being typed in, null for a finished entry. */
export function remember(name) {
  const text = query().toString();
  const address = text ? `?${text}` : location.pathname;
  if (address === (location.search || location.pathname)) return;
  if (name !== null && name === typing) history.replaceState(null, '', address);
  else history.pushState(null, '', address);
  typing = name;
}

/** finished ends the entry that is being typed. */
export function finished() {
  typing = null;
}
