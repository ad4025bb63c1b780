// Asking the bench: one question of a kind at a time, and always the newest next.

import { carry, silence } from './carry.js';

const status = document.getElementById('status');

/** latest returns a function that runs work at once, or once more when the run under way ends. */
export function latest(work) {
  let busy = false;
  let again = false;
  return async () => {
    if (busy) {
      again = true;
      return;
    }
    busy = true;
    try {
      do {
        again = false;
        await work();
      } while (again);
    } finally {
      busy = false;
    }
  };
}

let asked = 0; // how many questions there were
let failed = 0; // which of them the status tells of

/** tell writes how question n went. An answer that was under way before a fault does not take the fault away. */
function tell(n, fault) {
  if (n < failed) return;
  if (fault) failed = n;
  status.textContent = fault;
}

/** get asks for an address and returns the answer, or null when there is none. */
export async function get(address, options) {
  asked += 1;
  const n = asked;
  try {
    const answer = await carry(address, options);
    if (!answer.ok) {
      tell(n, `The bench says: ${(await answer.text()).trim()}`);
      return null;
    }
    tell(n, '');
    return answer;
  } catch {
    tell(n, silence);
    return null;
  }
}

/** getJSON is get for an answer in JSON. */
export async function getJSON(address, options) {
  const answer = await get(address, options);
  return answer && answer.json();
}
