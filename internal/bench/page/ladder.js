// The ladder: how the ring would go at each gap, and what is done with the one that fitted.

import { form, query } from './fields.js';
import { getJSON, latest } from './ask.js';
import { show } from './faults.js';
import { make, percent } from './make.js';

const place = document.getElementById('rungs');

/** ladder asks for the rungs when the ladder is asked for; fitted is called with the gap that fitted. */
export function ladder(fitted) {
  const wanted = () => ['from', 'to', 'step'].some((key) => form.elements[`ladder.${key}`].value.trim());
  return latest(async () => {
    if (!wanted()) {
      show('ladder', []);
      place.hidden = true;
      return;
    }
    const found = await getJSON(`/api/ladder?${query()}`);
    if (!found) return;
    show('ladder', found.faults.filter((f) => f.field.startsWith('ladder')));
    place.hidden = found.rungs.length === 0;
    const row = (r) => {
      const press = make('button', { type: 'button', textContent: 'This fitted' });
      press.setAttribute('aria-label', `The ring with a gap of ${r.gap} fitted`);
      press.addEventListener('click', () => fitted(r.gap));
      const fit = (f) => make('td', { textContent: `${f.verdict}, ${percent(f.chance)}` });
      return make('tr', {}, make('th', { scope: 'row', textContent: r.rung }), fit(r.inner), fit(r.outer), make('td', {}, press));
    };
    const head = ['Gap, mm', 'Inside', 'Outside', 'Tried'].map((text) => make('th', { scope: 'col', textContent: text }));
    place.replaceChildren(make('table', {}, make('thead', {}, make('tr', {}, ...head)), make('tbody', {}, ...found.rungs.map(row))));
  });
}
