// What the browser keeps for this page, from one day to the next. Where it keeps nothing, it lasts as long as the page.

const ours = 'tryring ';
const here = new Map();

/** recall is what was kept under a key; '' for nothing. */
export function recall(key) {
  try {
    return localStorage.getItem(ours + key) ?? '';
  } catch {
    return here.get(key) ?? '';
  }
}

/** keep keeps text under a key; '' is nothing, and takes it away. */
export function keep(key, text) {
  here.set(key, text);
  try {
    if (text) localStorage.setItem(ours + key, text);
    else localStorage.removeItem(ours + key);
  } catch { /* it is here as long as the page is */ }
}

/** keeps tells whether the browser keeps anything. */
export function keeps() {
  try {
    return Boolean(localStorage);
  } catch {
    return false;
  }
}

/** all lists what is kept under keys that begin so, by what follows in the key. */
export function all(begin) {
  let keys = [...here.keys()];
  try {
    keys = Object.keys(localStorage).filter((key) => key.startsWith(ours)).map((key) => key.slice(ours.length));
  } catch { /* what is here, then */ }
  return new Map(keys.filter((key) => key.startsWith(begin)).sort().map((key) => [key.slice(begin.length), recall(key)]));
}
