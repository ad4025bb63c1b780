// The address holds what the fields hold, so that a page can be kept, shared and gone back on; what a device shows alone, the
// screen of a phone, stands in the history beside it.

import { query, replace, whenChanged } from './store.js';
import { askAgain, forget } from './questions.js';

// One step back is one finished entry: typing on in a field rewrites the entry that its first letter made.
let typing = null;

// Writing the address holds the whole page up, for tens of milliseconds on a busy machine. It waits for the hand to rest, and
// for no longer: what leaves the field or the page writes it first.
const rest = 300;
let waiting = null; // the address to write, and whether it takes the place of the one before
let timer = 0;

/** here is what this device shows: the screen, how many screens it can go back, and which job. It is given to guide.js to change. */
export const here = { screen: '', depth: 0, job: 0, ...history.state };
let guided = () => false;
let shown = () => {};

function write(address, replaces) {
  try {
    if (replaces) history.replaceState({ ...here }, '', address);
    else history.pushState({ ...here }, '', address);
  } catch { // a page that an app hands to the browser may not write its address: what is shown can be gone back from all the same
    history[replaces ? 'replaceState' : 'pushState']({ ...here }, '');
  }
}

function now() {
  const text = query().toString();
  return text ? `?${text}` : location.pathname;
}

function flush() {
  clearTimeout(timer);
  if (waiting) write(waiting.address, waiting.replaces);
  waiting = null;
}

/** remember writes the fields into the address: hand is the field being typed in, null for a finished entry. Where one screen is shown at
    a time, going back is going to the screen before, and writing makes no step of its own. */
function remember(hand) {
  const address = now();
  if (address === (waiting?.address ?? (location.search || location.pathname))) return;
  const again = guided() || (hand !== null && hand === typing);
  typing = hand;
  if (!again) flush();
  if (hand === null) {
    write(address, again);
    return;
  }
  if (waiting) waiting.address = address;
  else waiting = { address, replaces: again };
  clearTimeout(timer);
  timer = setTimeout(flush, rest);
}
let silent = false;
whenChanged((names, hand) => {
  if (!silent) remember(hand);
});

/** finished ends the entry that is being typed. */
export function finished() {
  flush();
  typing = null;
}

/** turn goes to another screen, as a step of its own or in the place of this one. */
export function turn(screen, replaces) {
  finished();
  here.depth += replaces ? 0 : 1;
  here.screen = screen;
  write(now(), replaces);
}

/** begin puts another job on the page, and shows a screen of it, or with "" the one that suits. */
export function begin(params, screen) {
  finished();
  here.job += 1;
  here.depth += 1;
  here.screen = screen;
  forget();
  silent = true;
  replace(params);
  silent = false;
  write(now(), false);
  shown();
  askAgain();
}

/** follow goes where the address leads, now and whenever it is another one; then is called each time. one() tells whether one screen is shown
    at a time: what was typed is not lost there by going back. */
export function follow(one, then) {
  guided = one;
  shown = then;
  const go = (state) => {
    clearTimeout(timer);
    waiting = typing = null;
    const same = one() && state && state.job === here.job && state.screen !== here.screen;
    Object.assign(here, state);
    if (same) write(now(), true);
    else {
      silent = true;
      replace(new URLSearchParams(location.search));
      silent = false;
      if (!state) write(now(), true);
    }
    shown();
  };
  addEventListener('popstate', (e) => go(e.state));
  go(null);
}

addEventListener('keydown', (e) => {
  if (e.ctrlKey || e.metaKey || e.altKey || (e.key.length > 1 && e.key !== 'Backspace' && e.key !== 'Delete')) flush();
}, true);
for (const leaves of ['pagehide', 'blur']) addEventListener(leaves, flush);
document.documentElement.addEventListener('pointerleave', flush);
