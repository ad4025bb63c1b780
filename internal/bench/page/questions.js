// Every answer of the bench with the input that it answers: what no longer belongs is shown as old, and then gone.

import { latest } from './ask.js';
import { show } from './faults.js';
import { whenChanged } from './store.js';

/** How long an answer may be out of date, in ms, before it is shown as old, and how long before it is gone. */
const late = 400;
const gone = 10_000;

const questions = [];
let jobs = 0; // how many jobs were on the page: what was asked for one is no answer for another

/** A question is asked whenever its input is another one: input() is what it depends on, as a text, or null where there is nothing to ask.
    ask(input) brings the answer, or null when none came: then it is asked again by and by. tell(answer, input) shows it, tell(null) shows
    nothing; faults that are own go to their fields. Once the input is another one, or was not answered well, what stands in places is old,
    and later gone. The window hears "told" of each change of these. First is asked before all others. */
export function question({ teller, input, ask, tell, own = () => true, good = (found) => !found.faults?.length, places = [], first = false }) {
  let shown = null; // the input that what is shown answers
  let answered; // the input that was answered last, with faults or without
  let holds = false;
  let timer = 0;
  let old = false;
  const told = () => dispatchEvent(new CustomEvent('told', { detail: teller }));

  function mark(now) {
    old = now;
    for (const place of places) place.classList.toggle('old', old);
  }

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
    told();
  }

  function age(after) {
    if (shown === null || (timer && after)) return;
    clearTimeout(timer);
    timer = setTimeout(() => {
      mark(true);
      told();
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
    /** holds tells whether the last answer was a good one, isOld whether what is shown answers other input. */
    holds: () => holds,
    isOld: () => old,
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
      const job = jobs;
      const found = await ask(now);
      if (job !== jobs) return;
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
      told();
    }),
  };
  questions.push(q);
  return q;
}

let rounds = 0; // only the last one goes on to what can wait

/** askAll asks what is open: first what a person looks at, and once that is painted, the rest. */
async function askAll() {
  rounds += 1;
  const round = rounds;
  const firsts = questions.filter((q) => q.first && q.open());
  await Promise.all(firsts.map((q) => q.run()));
  if (firsts.length && !document.hidden) await new Promise((painted) => { requestAnimationFrame(() => setTimeout(painted)); });
  for (const q of questions) if (round === rounds) q.run();
}

/** askAgain asks everything anew: what the bench knows is more now. */
export function askAgain() {
  for (const q of questions) q.again();
  askAll();
}

/** forget drops all answers: another job is on the page. */
export function forget() {
  jobs += 1;
  for (const q of questions) q.forget();
}

// What got no answer is asked again: soon at first, then more seldom, and at once where the network comes back or a person does. An
// answer makes it soon again.
let pause = 1000;
let timer = 0;

function later() {
  timer ||= setTimeout(again, pause);
}

function again() {
  clearTimeout(timer);
  timer = 0;
  if (!questions.some((q) => q.open())) return;
  pause = Math.min(2 * pause, 30_000);
  askAll();
}

addEventListener('online', again);
document.addEventListener('visibilitychange', again);
whenChanged(askAll);
