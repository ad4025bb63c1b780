// The ladder: how the ring would go at each gap, what each did, and what that teaches of the printer.

import { put, query, value, whenChanged } from './store.js';
import { askAgain, question } from './questions.js';
import { getJSON } from './ask.js';
import { make, percent } from './make.js';
import { show } from './faults.js';
import { reveal } from './guide.js';
import { form } from './fields.js';
import { ringFields } from './ring.js';

const place = document.getElementById('rungs');
const taught = document.getElementById('taught');
const keep = document.getElementById('keep');
const trials = document.getElementById('trials');
const said = document.getElementById('learnt');
let taughtNow = ''; // how many lines the printer's journal has

/** printed notes the printer that the ladder was made for, and how many lines its journal had then, at the latest from the first outcome on;
    without one the ladder is another now. */
export function printed(printer = '', taughtThen = '') {
  put({ 'ladder.printer': printer ?? '', 'ladder.taught': taughtThen ?? '' });
}

const outcomes = ['goes', 'snug', 'first turn tight', 'stops after 1 turn', 'does not start', 'rattles', 'drops in'];
const sides = { inner: 'Inside', outer: 'Outside' };

/** entries are what the hidden field holds: "inner:0.20=goes,outer:0.10=snug". */
function entries() {
  return new Map(value('tried').split(',').filter(Boolean).map((text) => text.split('=')));
}

function setOutcome(key, outcome) {
  const all = entries();
  if (outcome) all.set(key, outcome);
  else all.delete(key);
  const tried = [...all].map((pair) => pair.join('=')).join(',');
  put({ tried, ...(value('ladder.printer') ? {} : { 'ladder.printer': value('printer'), 'ladder.taught': taughtNow }) });
}

function select(side, rung, fit) {
  const key = `${side}:${rung}`;
  const id = `tried-${side}-${rung}`;
  const box = make('select', { id }, make('option', { value: '', textContent: 'not tried' }), ...outcomes.map((o) => make('option', { value: o, textContent: o })));
  box.dataset.tried = key;
  box.value = entries().get(key) ?? '';
  box.addEventListener('change', () => setOutcome(key, box.value));
  const label = make('label', { htmlFor: id, textContent: sides[side] });
  return make('div', { className: 'field' }, label, make('small', { textContent: `should be: ${fit.verdict}, ${percent(fit.chance)}` }), box);
}

function row(r) {
  const use = make('button', { type: 'button', textContent: 'Use this gap' });
  use.setAttribute('aria-label', `Use this gap: ${r.gap}`);
  use.addEventListener('click', () => {
    put({ clearance: r.gap, inner_clearance: '', outer_clearance: '' });
    reveal(form.elements.clearance);
  });
  const first = make('div', {}, make('p', { className: 'gap', textContent: r.gap }), use);
  return make('li', {}, first, select('inner', r.rung, r.inner), select('outer', r.rung, r.outer));
}

let shown = '[]'; // the rungs that stand there: they are not put anew under a hand that fills them in
question({
  teller: 'ladder',
  input: () => (['from', 'to', 'step'].some((key) => value(`ladder.${key}`).trim()) ? query('ladder.', ...ringFields).toString() : null),
  ask: (input) => getJSON(`api/ladder?${input}`),
  tell(found) {
    const rungs = found?.rungs ?? [];
    if (found) taughtNow = String(found.taught);
    if (found?.faults.length) return;
    place.hidden = rungs.length === 0;
    if (JSON.stringify(rungs) !== shown) {
      const held = document.activeElement?.id;
      place.replaceChildren(...rungs.map(row));
      if (held?.startsWith('tried-')) document.getElementById(held)?.focus();
    }
    shown = JSON.stringify(rungs);
  },
  own: (f) => f.field.startsWith('ladder'),
  places: [place],
});
whenChanged(() => {
  for (const box of place.querySelectorAll('select')) box.value = entries().get(box.dataset.tried) ?? '';
});

/** kept is one trial that counts for this printer, to be taken back by its number. */
function kept(trial) {
  const out = make('button', { type: 'button', textContent: 'Take back' });
  out.setAttribute('aria-label', `Take back trial ${trial.id}`);
  out.addEventListener('click', () => learn('drop', trial.id));
  return make('li', {}, make('div', { className: 'with' }, make('span', { textContent: `${trial.id}: ${trial.text}` }), out));
}

const trialInput = () => query('ladder.', 'tried', 'tried.end', ...ringFields).toString();

/** learn keeps what the outcomes teach, or takes a trial back. */
async function learn(deed, id = '') {
  keep.hidden = true;
  const found = await getJSON(`api/trial?${trialInput()}&do=${deed}&id=${id}`, { method: 'POST' });
  if (!found) return;
  show('learn', found.faults);
  if (found.faults.length) return;
  put({ tried: '' });
  askAgain();
  said.textContent = `${found.kept ? 'Kept' : 'Taken back'}. Trials of this printer: ${found.trials.length}.`;
}
keep.addEventListener('click', () => learn(keep.dataset.do));

question({
  teller: 'trial',
  input: () => (value('printer') || value('tried') ? trialInput() : null),
  ask: (input) => getJSON(`api/trial?${input}`),
  tell(found) {
    const told = value('tried') && found ? found : { taught: [], doubts: [] };
    if (value('tried')) said.textContent = '';
    taught.replaceChildren(...told.doubts.map((text) => make('p', { className: 'fault', textContent: `Doubtful: ${text}.` })), ...told.taught.map((text) => make('p', { textContent: text })));
    trials.replaceChildren(...(found?.trials ?? []).map(kept));
    trials.hidden = !found?.trials.length;
    keep.textContent = told.doubts.length ? 'Keep it all the same' : 'Keep it for this printer';
    keep.dataset.do = told.doubts.length ? 'anyway' : 'keep';
    keep.hidden = !told.can_keep || told.faults.length > 0;
  },
  own: (f) => f.field === 'tried' && value('tried') !== '',
  places: [taught],
});
