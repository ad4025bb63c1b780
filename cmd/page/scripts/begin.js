// Goes on with the job that the browser keeps, unless the address holds one.

import { read } from './keep.js';

const job = read('job');
if (job && !location.search) history.replaceState(null, '', `?${job}`);
