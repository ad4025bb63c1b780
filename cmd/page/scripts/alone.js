// The page as one file: what the bench page does, and the browser keeps the job.

import './begin.js';
import './main.js';
import { write } from './keep.js';
import { query } from './store.js';

const keep = () => setTimeout(() => write('job', query().toString()));
for (const change of ['input', 'change', 'click', 'visibilitychange', 'pagehide']) addEventListener(change, keep);
