// The document behind the page: opened from a file, changed by the bench, kept in a field of its own.

import { fill, unit } from './fields.js';
import { query } from './store.js';
import { begin } from './address.js';
import { getJSON } from './ask.js';
import { show } from './faults.js';

const dialog = document.getElementById('doubt');

/** today is the day by this machine's clock: 2026-03-01. */
export function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, '0')).join('-');
}

/** ask puts a question; the answer is yes, no, or nothing. */
export function ask(question, yes, no) {
  dialog.querySelector('h2').textContent = question;
  dialog.querySelectorAll('button').forEach((b, i) => { b.textContent = [yes, no][i]; });
  dialog.returnValue = '';
  dialog.showModal();
  return new Promise((answered) => {
    dialog.addEventListener('close', () => answered(dialog.returnValue), { once: true });
  });
}
for (const b of dialog.querySelectorAll('button')) b.addEventListener('click', () => dialog.close(b.value));

/** edit has the bench change the document: keep, change, drop, take, try or made, with what that needs. What the bench doubts
    is asked, and sent back where the person overrules it. */
export async function edit(deed, more = {}, sure = []) {
  const there = query();
  const asked = new URLSearchParams(there);
  for (const [key, value] of Object.entries({ ...more, do: deed, today: today() })) asked.set(key, value);
  for (const text of sure) asked.append('sure', text);
  const found = await getJSON(`api/job?${asked}`);
  if (!found) return false;
  const doubts = found.faults.filter((f) => f.field === 'doubt').map((f) => f.text);
  if (doubts.length && doubts.length === found.faults.length) {
    return (await ask(`${doubts.map((text) => `${text[0].toUpperCase()}${text.slice(1)}.`).join(' ')} Keep it all the same?`, 'Yes, keep it', 'No')) === 'yes' && edit(deed, more, [...sure, ...doubts]);
  }
  show('job', found.faults);
  if (!found.faults.length) fill(new URLSearchParams(found.query), there);
  return found.faults.length === 0;
}

/** opener reads a job file into the page. */
export function opener() {
  const input = document.getElementById('open-job');
  input.addEventListener('change', async () => {
    const file = input.files[0];
    if (!file) return;
    input.value = '';
    if (file.size > Number(input.dataset.most)) {
      show('job', [{ field: 'job', text: `${file.name} is larger than a job file can be` }]);
      return;
    }
    const found = await getJSON(`api/job?unit=${unit()}`, { method: 'POST', body: file });
    if (!found) return;
    show('job', found.faults.map((f) => ({ ...f, text: `${file.name}: ${f.text}` })));
    if (!found.faults.length) begin(new URLSearchParams(found.query), 'stands');
  });
}
