// The page as one file: what the bench page does, and the browser keeps the jobs. The last one is gone on with.

import './main.js';
import { query, whenChanged } from './store.js';
import { begin, here } from './address.js';
import { all, keep, keeps } from './kept.js';
import { make } from './make.js';

/** most is how many jobs are kept. */
const most = 20;

/** Under which key a job is kept, by the number that the history gives it. The newest come first. */
const keys = new Map();
const list = make('ul', { className: 'kept' });
document.querySelector('#start .ways').after(list, make('p', { className: 'soft', textContent: 'This browser keeps nothing for this page: save the job file before you close it.', hidden: keeps() }));

/** open goes on with a kept job. */
function open(key, screen) {
  keys.set(here.job + 1, key);
  begin(new URLSearchParams(all('job ').get(key)), screen);
}

/** words tell a job from the others. */
function words(text) {
  const job = new URLSearchParams(text);
  const told = Object.entries({ outer: 'stays', inner: 'goes in', 'stays.bore': 'bore', 'goes.outside': 'outside' }).filter(([field]) => job.get(field)).map(([field, what]) => `${what} ${job.get(field)}`);
  return job.get('name') || told.slice(0, 2).join(', ') || 'A job just begun';
}

function show() {
  list.replaceChildren(...[...all('job ')].filter(([key]) => key !== keys.get(here.job)).map(([key, text]) => {
    const drop = make('button', { type: 'button', textContent: 'Forget', onclick: () => {
      keep(`job ${key}`, '');
      show();
    } });
    drop.setAttribute('aria-label', `Forget: ${words(text)}`);
    return make('li', {}, make('p', { className: 'with' }, make('button', { type: 'button', textContent: `Go on: ${words(text)}`, onclick: () => open(key, 'stands') }), drop));
  }));
  list.hidden = !list.children.length;
}

function keepIt() {
  const text = query().toString();
  if (text && !keys.has(here.job)) keys.set(here.job, String(1e13 - Date.now()));
  if (keys.has(here.job)) keep(`job ${keys.get(here.job)}`, text);
  for (const key of [...all('job ').keys()].slice(most)) keep(`job ${key}`, '');
  show();
}

const [last, ...others] = all('job ');
const same = [last, ...others].find((job) => job?.[1] === query().toString()); // a page that is loaded anew
if (same) keys.set(here.job, same[0]);
else if (last && !location.search) open(last[0], '');
whenChanged(keepIt);
show();
