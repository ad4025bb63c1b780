// Files: links that carry the fields, and the opening of job files.

import { query, fill, remember } from './fields.js';
import { getJSON } from './ask.js';
import { show } from './faults.js';

const links = [...document.querySelectorAll('a[data-file]')];

/** point gives each link the fields as they stand. A link that would fail says so in place of leading there. */
export function point(ready) {
  const text = query().toString();
  for (const a of links) {
    const can = ready || a.dataset.file === 'job.toml';
    if (can) {
      a.href = `/file/${a.dataset.file}?${text}`;
      a.setAttribute('download', '');
      a.removeAttribute('aria-disabled');
      a.removeAttribute('role');
      a.removeAttribute('tabindex');
    } else {
      a.removeAttribute('href');
      a.setAttribute('role', 'link');
      a.setAttribute('aria-disabled', 'true');
    }
  }
}

/** opener reads a job file into the fields; opened is called when they hold it. */
export function opener(opened) {
  const input = document.getElementById('open-job');
  input.addEventListener('change', async () => {
    const file = input.files[0];
    if (!file) return;
    if (file.size > 1 << 20) {
      show('job', [{ field: 'job', text: `${file.name} has ${file.size} bytes; a job file stays below a million` }]);
      return;
    }
    const found = await getJSON('/api/job', { method: 'POST', body: await file.text() });
    input.value = '';
    if (!found) return;
    show('job', found.faults);
    if (found.faults.length) return;
    fill(new URLSearchParams(found.query));
    remember(null);
    opened();
  });
}
