// The way to the bench where the page is one file: a worker that runs it, from what stands in the page.

import { all, keep } from './kept.js';

/** silence is said where no answer comes. */
export const silence = 'The page cannot work any more. Save the job file and load the page again.';

const text = (id) => document.getElementById(id).textContent;
let worker = null;
let asked = new Map(); // what waits for an answer, by its number
let number = 0;

/** whole resolves when the page has come in to its end, where the binary is. */
const whole = new Promise((come) => {
  if (document.readyState === 'loading') document.addEventListener('DOMContentLoaded', come);
  else come();
});

/** lost ends the worker; the next question starts another one. */
function lost() {
  worker?.terminate();
  worker = null;
  for (const { no } of asked.values()) no(new Error(silence));
  asked = new Map();
}

function start() {
  worker = new Worker(URL.createObjectURL(new Blob([text('worker')], { type: 'text/javascript' })));
  worker.onerror = lost;
  worker.onmessage = ({ data }) => {
    if (data.ready) document.documentElement.dataset.bench = 'yes';
    else if (data.journal) keep(`trials ${data.journal}`, data.text);
    else if (data.lost) lost();
    else {
      asked.get(data.n)?.yes(new Response(data.status === 204 ? null : data.body, { status: data.status, headers: data.own }));
      asked.delete(data.n);
    }
  };
  worker.postMessage({ binary: text('binary'), journals: Object.fromEntries(all('trials ')) });
}

/** carry asks as fetch does. */
export async function carry(address, { method = 'GET', body = '' } = {}) {
  const [, path, query] = String(address).match(/((?:api|file)\/[^?]*)\??(.*)$/);
  const bytes = await new Response(body).arrayBuffer();
  await whole;
  if (!worker) start();
  number += 1;
  const n = number;
  return new Promise((yes, no) => {
    asked.set(n, { yes, no });
    worker.postMessage({ n, method, path: `/${path}`, query, body: bytes }, [bytes]);
  });
}

whole.then(() => {
  if (!worker) start();
});
