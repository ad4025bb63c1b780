// Faults, each beside its field: what was read and what would be right.

/** patience is how long a hand may rest, in ms, before a half-typed entry is called wrong. */
const patience = 700;

const spare = document.querySelector('[data-fault=spare]');
const told = new Map(); // by who tells them
let lastKey = 0;
let waiting = 0;

/** show replaces the faults that one teller told before. A fault without a place on the page is shown in the spare one. */
export function show(teller, faults) {
  told.set(teller, faults);
  render();
}

/** typed notes that a hand is typing. */
export function typed() {
  lastKey = performance.now();
}

function render() {
  clearTimeout(waiting);
  const byField = new Map();
  for (const faults of told.values()) {
    for (const { field, text } of faults) byField.set(field, [...new Set([...(byField.get(field) ?? []), text])]);
  }
  const resting = performance.now() - lastKey >= patience;
  for (const place of document.querySelectorAll('.fault[id], .fault[data-fault]')) {
    if (place === spare) continue;
    const name = place.dataset.fault ?? place.id.replace('fault-', '');
    const input = document.getElementById(name);
    const texts = byField.get(name) ?? [];
    byField.delete(name);
    if (texts.length && input && input === document.activeElement && !resting && place.hidden) {
      waiting = setTimeout(render, patience);
      continue;
    }
    const text = texts.join('; ');
    if (place.textContent !== text) place.textContent = text;
    place.hidden = !text;
    if (input) {
      if (text) input.setAttribute('aria-invalid', 'true');
      else input.removeAttribute('aria-invalid');
      if (text) for (let d = input.closest('details'); d; d = d.parentElement.closest('details')) d.open = true;
    }
  }
  const texts = [...byField].map(([field, all]) => `${field}: ${all.join('; ')}`).join('; ');
  if (spare.textContent !== texts) spare.textContent = texts;
  spare.hidden = !texts;
}

/** settle shows what waits, when a field is left. */
export function settle() {
  lastKey = 0;
  render();
}
