// The ladder: how the ring would go at each gap, what each did, and what that teaches of the printer.

import { form, query } from './fields.js';
import { getJSON, latest } from './ask.js';
import { show } from './faults.js';
import { make, percent } from './make.js';

const place = document.getElementById('rungs');
const taught = document.getElementById('taught');
const keep = document.getElementById('keep');
const trials = document.getElementById('trials');
const tried = form.elements.tried;
// The printer that the ladder was made for, and how many lines its journal had then: at the latest from the first outcome on.
const builtFor = form.elements['ladder.printer'];
const taughtThen = form.elements['ladder.taught'];
let taughtNow = '';

/** printed notes the printer that the ladder was made for, and how much was known of it; without one the ladder is another now. */
export function printed(printer, taught) {
  builtFor.value = printer ?? '';
  taughtThen.value = taught ?? '';
}

const outcomes = ['goes', 'snug', 'first turn tight', 'stops after 1 turn', 'does not start', 'rattles', 'drops in'];
const sides = { inner: 'Inside', outer: 'Outside' };

/** entries are what the hidden field holds: "inner:0.20=goes,outer:0.10=snug". */
function entries() {
  return new Map(tried.value.split(',').filter(Boolean).map((text) => text.split('=')));
}

function setOutcome(key, outcome) {
  const all = entries();
  if (outcome) all.set(key, outcome);
  else all.delete(key);
  if (!builtFor.value) printed(form.elements.printer.value, taughtNow);
  tried.value = [...all].map((pair) => pair.join('=')).join(',');
}

function select(side, rung, fit, changed) {
  const key = `${side}:${rung}`;
  const id = `tried-${side}-${rung}`;
  const box = make('select', { id }, make('option', { value: '', textContent: 'not tried' }), ...outcomes.map((o) => make('option', { value: o, textContent: o })));
  box.dataset.tried = key;
  box.value = entries().get(key) ?? '';
  box.addEventListener('change', () => {
    setOutcome(key, box.value);
    changed();
  });
  const label = make('label', { htmlFor: id, textContent: sides[side] });
  return make('div', { className: 'field' }, label, make('small', { textContent: `should be: ${fit.verdict}, ${percent(fit.chance)}` }), box);
}

/** ladder asks for the rungs when they are asked for. fitted is called with a gap that is to be used, changed when an
    outcome was entered, learnt when the printer was taught something. */
export function ladder({ fitted, changed, learnt }) {
  const wanted = () => ['from', 'to', 'step'].some((key) => form.elements[`ladder.${key}`].value.trim());

  function row(r) {
    const use = make('button', { type: 'button', textContent: 'Use this gap' });
    use.setAttribute('aria-label', `Use this gap: ${r.gap}`);
    use.addEventListener('click', () => fitted(r.gap));
    const first = make('div', {}, make('p', { className: 'gap', textContent: r.gap }), use);
    return make('li', {}, first, select('inner', r.rung, r.inner, changed), select('outer', r.rung, r.outer, changed));
  }

  /** kept is one trial that counts for this printer, to be taken back by its number. */
  function kept(trial) {
    const out = make('button', { type: 'button', textContent: 'Take back' });
    out.setAttribute('aria-label', `Take back trial ${trial.id}`);
    out.addEventListener('click', () => learn(`drop&id=${trial.id}`));
    return make('li', {}, make('div', { className: 'with' }, make('span', { textContent: `${trial.id}: ${trial.text}` }), out));
  }

  /** learn tells what the outcomes teach; with a deed it is kept, or one taken back. */
  async function learn(deed) {
    keep.hidden = true;
    if (!form.elements.printer.value && !tried.value) {
      taught.replaceChildren();
      trials.hidden = true;
      show('trial', []);
      return;
    }
    const found = await getJSON(`/api/trial?${query()}${deed ? `&do=${deed}` : ''}`, deed ? { method: 'POST' } : undefined);
    if (!found) return;
    trials.replaceChildren(...found.trials.map(kept));
    trials.hidden = found.trials.length === 0;
    if (!tried.value && !deed) {
      taught.replaceChildren();
      show('trial', []);
      return;
    }
    show('trial', found.faults.filter((f) => f.field === 'tried'));
    taught.replaceChildren(...found.doubts.map((text) => make('p', { className: 'fault', textContent: `Doubtful: ${text}.` })), ...found.taught.map((text) => make('p', { textContent: text })));
    keep.textContent = found.doubts.length ? 'Keep it all the same' : 'Keep it for this printer';
    keep.dataset.do = found.doubts.length ? 'anyway' : 'keep';
    if (deed) taught.append(make('p', { className: 'state', textContent: found.faults.length ? '' : `${found.kept ? 'Kept' : 'Taken back'}. Trials of this printer: ${found.trials.length}.` }));
    keep.hidden = !found.can_keep || found.faults.length > 0 || Boolean(deed);
    if (deed && !found.faults.length) {
      tried.value = '';
      learnt();
    }
  }
  keep.addEventListener('click', () => learn(keep.dataset.do));

  let shown = ''; // the rungs that stand there: they are not put anew under a hand that fills them in
  return latest(async () => {
    if (!wanted()) {
      show('ladder', []);
      place.hidden = true;
      await learn();
      return;
    }
    const found = await getJSON(`/api/ladder?${query()}`);
    if (!found) return;
    taughtNow = String(found.taught);
    show('ladder', found.faults.filter((f) => f.field.startsWith('ladder')));
    place.hidden = found.rungs.length === 0;
    const now = JSON.stringify(found.rungs);
    if (now !== shown) {
      const held = document.activeElement?.id;
      place.replaceChildren(...found.rungs.map(row));
      if (held?.startsWith('tried-')) document.getElementById(held)?.focus();
    } else {
      for (const box of place.querySelectorAll('select')) box.value = entries().get(box.dataset.tried) ?? '';
    }
    shown = now;
    if (!found.faults.length && (tried.value || !taught.querySelector('.state'))) await learn();
  });
}
