// What this window keeps over a reload and nobody else sees. Where a browser keeps nothing, it lasts as long as the page.

const here = new Map();

export function recall(key) {
  try {
    return sessionStorage.getItem(key) ?? '';
  } catch {
    return here.get(key) ?? '';
  }
}

export function keep(key, text) {
  try {
    sessionStorage.setItem(key, text);
  } catch {
    here.set(key, text);
  }
}
