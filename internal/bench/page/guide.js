// The guided way: on a phone the same form shows one question a screen. A screen is a name for some blocks of the page; which is
// shown stands in the history, so that the browser's own way back leads to the one before.

import { query, value, whenChanged } from './store.js';
import { begin as another, follow, here, turn } from './address.js';
import { keep, recall } from './kept.js';

const root = document.documentElement;
const narrow = matchMedia('(max-width: 40rem)');
const question = document.getElementById('question');
const bar = document.getElementById('bar');
const whole = document.getElementById('whole');
const example = document.getElementById('example');
const field = (name) => `[data-field="${name}"]`;

/** The screens: what is asked, the blocks that are shown, and the screen that follows; where none does, a choice leads on. */
const screens = {
  start: { blocks: '#start, #opens' },
  unit: { asks: 'Millimetres or inches?', blocks: '#shared-by-both', next: 'kind' },
  kind: { asks: 'A hole or a stud?', blocks: '#kind' },
  names: { asks: 'Which two threads?', blocks: `${field('inner')}, ${field('outer')}, .hint`, next: 'ring' },
  list: { asks: 'Is there a part that joins them?', blocks: '#list', next: 'stands' },
  ring: { asks: 'How is the ring to be?', blocks: '#ring', next: 'look' },
  look: { asks: 'The ring', blocks: '#look, #verdict, #turn', next: 'take' },
  take: { asks: 'Take it away', blocks: '#verdict, #files', next: 'try' },
  try: { asks: 'What did it do?', blocks: '#try', next: 'stands' },
  steps: { asks: 'Several gaps at once', blocks: '#steps', next: 'stands' },
  stands: { asks: 'Where the job stands', blocks: '#standing, #opens' },
};
for (const [side, other, across, what, whose] of [['stays', 'goes', 'bore', 'How wide is the bore?', 'stays'], ['goes', 'stays', 'outside', 'How wide is it outside?', 'goes in']]) {
  const card = `[data-part=${side}]`;
  const pictures = (of) => `${card} [data-for=${of}]`;
  const fields = (...keys) => keys.map((key) => field(`${side}.${key}`)).join();
  const thread = document.querySelector(card).dataset.thread;
  Object.assign(screens, {
    [`${side}.across`]: { asks: what, blocks: `${pictures('across')}, ${card} .hint, ${fields(across)}`, next: `${side}.how` },
    [`${side}.how`]: { asks: 'How fine is the thread?', blocks: `${card} .how` },
    [`${side}.count`]: { asks: 'How many crests, over what length?', blocks: `${pictures('count')}, ${fields('count', 'over', 'counted')}`, next: `${side}.name` },
    [`${side}.leaf`]: { asks: 'Which leaf seats?', blocks: `${pictures('leaf')}, ${fields('leaf', 'no_leaf')}`, next: `${side}.name` },
    [`${side}.pitch`]: { asks: 'What is the pitch?', blocks: fields('pitch'), next: `${side}.name` },
    [`${side}.photo`]: { asks: 'Count on a picture', blocks: '#by-picture', next: `${side}.name` },
    [`${side}.more`]: { asks: 'What else was read?', blocks: `${card} .rest .field`, next: `${side}.name` },
    [`${side}.name`]: {
      asks: `Which thread ${whose}?`, blocks: `${card} .kept, ${card} .again, ${card} .found, ${card} .whys, ${card} .more, ${field(thread)}`,
      next: () => (value(document.querySelector(`[data-part=${other}]`).dataset.thread) || query(`${other}.`).toString() ? 'ring' : `${other}.across`),
    },
  });
}

const blocks = new Map(Object.entries(screens).map(([name, screen]) => [name, [...document.querySelectorAll(screen.blocks)]]));
const every = new Set([...blocks.values()].flat());
const around = document.querySelectorAll('form section, .rest, #side');

/** guided tells whether one screen is shown at a time. */
export function guided() {
  return narrow.matches && !recall('whole');
}

/** toWrite is the first field of a screen that asks for a reading: the page's own keys write in it. */
function toWrite(shown) {
  return shown.find((block) => block.matches('.field'))?.querySelector('input[data-unit], input[inputmode]');
}

/** render shows the screen that this device is at, or the whole page. */
function render() {
  const one = guided();
  if (!screens[here.screen]) here.screen = query().toString() ? 'stands' : 'start';
  const { asks = '', next } = screens[here.screen];
  const shown = blocks.get(here.screen);
  root.classList.toggle('guided', one);
  root.classList.toggle('own-keys', one && Boolean(toWrite(shown)));
  root.dataset.screen = one ? here.screen : '';
  for (const block of every) block.classList.toggle('away', one && !shown.includes(block) && !shown.some((b) => b.contains(block)));
  for (const box of around) {
    const holds = shown.some((block) => box.contains(block) || block.contains(box));
    box.classList.toggle('away', one && !holds);
    if (one && holds && box.matches('.rest')) box.open = true;
  }
  if (one) document.getElementById('by-picture').open = true;
  question.hidden = !one || !asks;
  question.textContent = asks;
  bar.hidden = !one || here.screen === 'start';
  document.getElementById('on').hidden = !next;
  filled();
  whole.hidden = !narrow.matches;
  whole.textContent = one ? 'All on one page' : 'One question at a time';
}

/** filled shows the ways in as long as nothing is on the page, and the way on where something is. */
function filled() {
  const empty = query().toString() === '';
  document.getElementById('start').hidden = guided() ? here.screen !== 'start' : !empty;
  document.getElementById('going').hidden = document.getElementById('anew').hidden = empty;
}
whenChanged(filled);

/** go shows another screen. */
export function go(screen) {
  if (screen === here.screen) return;
  turn(screen, false);
  shows();
}

function settle() {
  render();
  dispatchEvent(new Event('screen'));
}

function shows() {
  settle();
  scrollTo(0, 0);
  (toWrite(blocks.get(here.screen)) ?? question).focus({ preventScroll: true });
}

/** screenOf is the screen that holds an element: the one with the least around it. */
function screenOf(element) {
  let best = here.screen;
  let least = Infinity;
  for (const [name, list] of blocks) {
    for (const block of list) {
      const size = block.querySelectorAll('*').length;
      if (block.contains(element) && size < least) [best, least] = [name, size];
    }
  }
  return best;
}

/** reveal brings an element into view, wherever it is, and gives it the focus. */
export function reveal(element) {
  if (guided()) go(screenOf(element));
  for (let d = element.closest('details'); d; d = d.parentElement.closest('details')) d.open = true;
  element.focus();
  element.scrollIntoView({ block: guided() ? 'nearest' : 'center' });
}

/** start puts another job on the page. */
function start(job, screen) {
  another(new URLSearchParams(job), screen);
  shows();
}

/** The ways in, on a wide page: where each leads. */
const wide = { kind: 'stays.bore', names: 'outer', stands: 'standing' };

document.addEventListener('click', (e) => {
  const to = e.target.closest('[data-go]')?.dataset.go;
  const way = e.target.closest('[data-way]')?.dataset.way;
  if (to) go(to);
  else if (way === 'look') start(example.dataset.query, 'look');
  else if (way && guided()) go(way === 'kind' ? 'unit' : way);
  else if (way) reveal(document.getElementById(wide[way]));
});
document.getElementById('anew').addEventListener('click', () => start('', 'start'));
document.getElementById('on').addEventListener('click', () => {
  const { next } = screens[here.screen];
  go(typeof next === 'function' ? next() : next);
});
document.addEventListener('keydown', (e) => {
  if (e.key === 'Enter' && root.classList.contains('own-keys') && e.target.matches('input')) document.getElementById('on').click();
});
document.getElementById('back').addEventListener('click', () => {
  if (here.depth > 0) history.back();
  else go('start');
});
whole.addEventListener('click', () => {
  keep('whole', guided() ? 'yes' : '');
  settle();
});
narrow.addEventListener('change', settle);

/** begin shows the page as its address says, now and after each way back; settled is called then. */
export function begin(settled) {
  follow(guided, () => {
    settle();
    settled();
  });
}
