// All that the page knows: what stands in its fields, and every answer with the input that it answers.

import { latest } from './ask.js';
import { show } from './faults.js';

/** How long an answer may be out of date, in ms, before it is shown as old, and how long before it is gone. */
const late = 400;
const gone = 10_000;

const values = new Map(); // by field, in the order of the page
const watchers = [];
const questions = [];

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
  if (changed.length) announce(changed, hand);
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

function announce(names, hand) {
  for (const watch of watchers) watch(names, hand);
  askAll();
}

/** A question is asked whenever its input is another one: input() is what it depends on, as a text, or null where there is nothing to ask.
    ask(input) brings the answer, or null when none came: then it is asked again by and by. tell(answer, input) shows it, tell(null) shows
    nothing, and the window hears "told" of both; faults that are own go to their fields. Once the input is another one, or was not answered well, what stands in places is old,
    and later gone. First is asked before all others. */
export function question({ teller, input, ask, tell, own = () => true, good = (found) => !found.faults?.length, places = [], first = false }) {
  let shown = null; // the input that what is shown answers
  let answered; // the input that was answered last, with faults or without
  let holds = false;
  let timer = 0;
  const mark = (old) => places.forEach((place) => place.classList.toggle('old', old));

  function fresh() {
    clearTimeout(timer);
    timer = 0;
    mark(false);
  }

  function drop() {
    fresh();
    shown = null;
    holds = false;
    tell(null);
    dispatchEvent(new CustomEvent('told', { detail: teller }));
  }

  function age(after) {
    if (shown === null || (timer && after)) return;
    clearTimeout(timer);
    timer = setTimeout(() => {
      mark(true);
      timer = setTimeout(drop, gone);
    }, after);
  }

  const q = {
    first,
    /** forget drops what is shown, and lets the question be asked anew. */
    forget() {
      answered = undefined;
      show(teller, []);
      drop();
    },
    /** again lets it be asked anew, while what is shown stays. */
    again() {
      answered = undefined;
    },
    open: () => answered !== input(),
    holds: () => holds,
    run: latest(async () => {
      const now = input();
      if (now === answered) {
        if (shown === now) fresh();
        return;
      }
      if (now === null) {
        answered = now;
        show(teller, []);
        drop();
        return;
      }
      age(late);
      const found = await ask(now);
      if (!found) {
        later();
        return;
      }
      answered = now;
      pause = 1000;
      holds = good(found);
      if (holds) {
        shown = now;
        fresh();
      } else age(0);
      tell(found, now);
      show(teller, (found.faults ?? []).filter((f) => own(f, now)));
      dispatchEvent(new CustomEvent('told', { detail: teller }));
    }),
  };
  questions.push(q);
  return q;
}

let under = 0; // how many rounds are under way: only the last goes on to what can wait

/** askAll asks what is open: first what a person looks at, and once that is painted, the rest. */
export async function askAll() {
  under += 1;
  const round = under;
  const firsts = questions.filter((q) => q.first && q.open());
  await Promise.all(firsts.map((q) => q.run()));
  if (firsts.length && !document.hidden) await new Promise((painted) => { requestAnimationFrame(() => setTimeout(painted)); });
  for (const q of questions) if (round === under) q.run();
}

/** askAgain asks everything anew: what the bench knows is more now. */
export function askAgain() {
  for (const q of questions) q.again();
  askAll();
}

/** forget drops all answers: another job is on the page. */
export function forget() {
  for (const q of questions) q.forget();
}

// What got no answer is asked again: soon at first, then more seldom, and at once where the network comes back or a person does.
let pause = 1000;
let timer = 0;

function later() {
  clearTimeout(timer);
  timer = setTimeout(again, pause);
  pause = Math.min(2 * pause, 30_000);
}

function again() {
  if (questions.some((q) => q.open())) askAll();
  else pause = 1000;
}

addEventListener('online', again);
document.addEventListener('visibilitychange', again);
