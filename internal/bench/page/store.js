// What stands in the fields of the page: form, address and answers follow it.

const values = new Map(); // by field, in the order of the page
const watchers = [];

/** value is what stands in a field. */
export function value(name) {
  return values.get(name) ?? '';
}

/** know names the fields that there are. */
export function know(names) {
  for (const name of names) values.set(name, '');
}

/** query holds every field that is not as it is on a fresh page; of those given, when there are any: a name, or the start of names up to a point. */
export function query(...of) {
  const out = new URLSearchParams();
  for (const [name, text] of values) {
    const asked = !of.length || of.some((one) => (one.endsWith('.') ? name.startsWith(one) : name === one));
    if (asked && text.trim() && !(name === 'unit' && text === 'mm')) out.set(name, text.trim());
  }
  return out;
}

/** put lays changes over the fields, text by name; hand is the field that a hand is typing in. */
export function put(changes, hand = null) {
  const changed = Object.keys(changes).filter((name) => values.has(name) && values.get(name) !== changes[name]);
  for (const name of changed) values.set(name, changes[name]);
  if (changed.length) for (const watch of watchers) watch(changed, hand);
}

/** replace makes the fields what a query says: what it does not name is empty. What a hand changed since asked was read stays. */
export function replace(params, asked) {
  const changes = {};
  for (const [name, text] of values) {
    if (!asked || text.trim() === (asked.get(name) ?? usual(name))) changes[name] = params.get(name) ?? usual(name);
  }
  put(changes);
}

function usual(name) {
  return name === 'unit' ? 'mm' : '';
}

/** whenChanged calls watcher with the names of the fields after each change, and with the field that is being typed in, if any. */
export function whenChanged(watcher) {
  watchers.push(watcher);
}
