// What the browser keeps for this page, if it keeps anything: the job, and what trials taught.

const ours = 'tryring/';

/** read is what was written under a name; '' for nothing. */
export function read(name) {
  try {
    return localStorage.getItem(ours + name) ?? '';
  } catch {
    return '';
  }
}

/** write keeps text under a name, and tells whether it could. */
export function write(name, text) {
  try {
    localStorage.setItem(ours + name, text);
    return true;
  } catch {
    return false;
  }
}

/** kept lists what names begin with start, without it. */
export function kept(start) {
  try {
    return Object.keys(localStorage).filter((name) => name.startsWith(ours + start)).map((name) => name.slice((ours + start).length));
  } catch {
    return [];
  }
}
