// The job that several screens have open: what is changed here goes to the desk, and what was changed elsewhere comes from it.

import './fields.js';
import { query } from './store.js';

const often = 400; // milliseconds
const status = document.getElementById('status');
const words = {
  lost: 'The other screen changed the job at the same moment, and was first. Look at it, then go on.',
  gone: 'The bench was started again. Scan the code at the desk once more.',
};

let version = -1; // of the job, as this screen knows it; nothing so far
let held = new URLSearchParams(); // what the desk held then

/** differing are the fields of one that another has not, or has otherwise. */
function differing(one, other) {
  const keys = new Set([...one.keys(), ...other.keys()]);
  return [...keys].map((key) => [key, one.get(key) ?? '']).filter(([key, text]) => text !== (other.get(key) ?? ''));
}

/** take brings the page to the job as the desk holds it; what was changed here since asked stays. */
function take(asked) {
  const here = query();
  const to = new URLSearchParams(held);
  for (const [key, text] of differing(here, asked)) {
    if (text) to.set(key, text);
    else to.delete(key);
  }
  if (!differing(to, here).length) return;
  history.replaceState(history.state, '', to.size ? `?${to}` : location.pathname);
  dispatchEvent(new PopStateEvent('popstate'));
}

async function meet() {
  const asked = query();
  const first = version < 0;
  const changed = first ? [] : differing(asked, held);
  const answer = await fetch(`/api/shared?version=${version}`, changed.length ? { method: 'POST', body: new URLSearchParams(changed) } : {});
  if (answer.status === 403) status.textContent = words.gone;
  if (answer.status !== 200) return;
  const found = await answer.json();
  const anew = found.version < version; // the desk began again and knows less than this screen
  version = found.version;
  held = new URLSearchParams(found.query);
  if (found.lost) status.textContent = words.lost;
  // An address that was opened on purpose is what the person wants to see on all screens.
  const opened = first && asked.size > 0 && performance.getEntriesByType('navigation')[0]?.type === 'navigate';
  if (version > 0 && !anew && !opened) take(asked);
}

async function keepMeeting() {
  if (!document.hidden) await meet().catch(() => {}); // whether the desk answers is told where it is asked for answers
  setTimeout(keepMeeting, often);
}
keepMeeting();
