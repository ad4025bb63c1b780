// Files: links that carry the fields.

import { query } from './store.js';
import { get } from './ask.js';
import { edit, today } from './job.js';
import { printed } from './ladder.js';

const links = [...document.querySelectorAll('a[data-file]')];

/** point gives each link the fields as they stand. A link that would fail says so in place of leading there. */
export function point(ready) {
  const text = `${query()}&today=${today()}`;
  for (const a of links) {
    const can = ready || a.dataset.file === 'job.toml';
    if (can) {
      a.href = `file/${a.dataset.file}?${text}`;
      a.setAttribute('download', '');
      a.removeAttribute('aria-disabled');
      a.removeAttribute('role');
    } else {
      a.removeAttribute('href');
      a.setAttribute('role', 'link');
      a.setAttribute('aria-disabled', 'true');
    }
  }
}

/** size writes a number of bytes. */
function size(bytes) {
  return bytes < 1e6 ? `${Math.ceil(bytes / 1e3)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}

/** take saves what a link leads to, and tells how it goes: a ring is built and measured first, which a person may wait for. */
async function take(link) {
  const state = link.closest('section').querySelector('.took');
  if (link.getAttribute('aria-busy')) return;
  link.setAttribute('aria-busy', 'true');
  state.textContent = `${link.textContent} is being made…`;
  const address = link.getAttribute('href');
  const found = await get(address);
  const bytes = found && (await found.blob().catch(() => null));
  link.removeAttribute('aria-busy');
  state.textContent = '';
  if (!bytes) return;
  const name = found.headers.get('Content-Disposition').match(/filename="?([^";]+)/)[1];
  const save = Object.assign(document.createElement('a'), { href: URL.createObjectURL(bytes), download: name });
  save.click();
  setTimeout(() => URL.revokeObjectURL(save.href), 60_000);
  state.textContent = `✓ ${name}, ${size(bytes.size)}`;
  const made = found.headers.get('Tryring-Made');
  if (made) await edit('made', { ring: made });
  if (link.dataset.file === 'ladder.zip') printed(new URLSearchParams(address.split('?')[1]).get('printer'), found.headers.get('Tryring-Taught'));
}
for (const a of links) {
  a.addEventListener('click', (e) => {
    if (!a.href || e.ctrlKey || e.metaKey || e.shiftKey || e.altKey) return;
    e.preventDefault();
    take(a);
  });
}
