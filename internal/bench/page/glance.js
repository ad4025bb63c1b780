// A drawing with few large sizes, for a small screen: the section of the ring without its notes, and what a caliper should read.

import { make } from './make.js';
import { unit } from './fields.js';

function draw(name, attributes, ...children) {
  const e = document.createElementNS(document.querySelector('svg').namespaceURI, name);
  for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
  e.append(...children);
  return e;
}

/** corners are the points of a path that is drawn by straight lines. */
function corners(path) {
  return [...path.getAttribute('d').matchAll(/([-\d.]+) ([-\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)]);
}

/** size is a size between two places, with its words beside or over it. */
function size(x1, y1, x2, y2, words, unit) {
  const level = y1 === y2;
  const text = draw('text', { x: level ? (x1 + x2) / 2 : x1 - unit, y: level ? y1 - unit * 0.6 : (y1 + y2) / 2, 'font-size': 2.6 * unit, 'text-anchor': level ? 'middle' : 'end', 'dominant-baseline': level ? 'auto' : 'central' }, words);
  const ends = level ? `M${x1} ${y1 - unit}v${2 * unit}M${x2} ${y2 - unit}v${2 * unit}` : `M${x1 - unit} ${y1}h${2 * unit}M${x2 - unit} ${y2}h${2 * unit}`;
  return [draw('path', { d: `M${x1} ${y1}L${x2} ${y2}${ends}`, class: 'size', 'stroke-width': unit / 8 }), text];
}

/** glance returns the drawing of a ring as the bench tells it; nothing without one. */
export function glance(ring) {
  if (!ring.svg) return [];
  const whole = new DOMParser().parseFromString(ring.svg, 'image/svg+xml');
  const lines = [...whole.querySelectorAll('.edge, .crest, .cut, .hatch')];
  const points = lines.filter((line) => line.matches('.cut')).flatMap(corners);
  const [xs, ys] = [0, 1].map((k) => points.map((p) => p[k]));
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const facts = Object.fromEntries(ring.facts.map((f) => [f.id, f.value]));
  const axis = Number(whole.querySelector('.axis').getAttribute('d').match(/M([-\d.]+)/)[1]);
  const scale = (bottom - top) / parseFloat(facts.height);
  const half = (key) => (parseFloat(facts[key]) / 2) * scale;
  const step = (right - left) / 24;
  const [mm, inch] = [/^[\d.]+/, /\(([\d.]+)/];
  const short = (key) => (unit() === 'inch' ? `${Number(facts[key].match(inch)[1]).toFixed(3)} in` : `${Number(facts[key].match(mm)[0]).toFixed(2)} mm`);
  const svg = draw('svg', { viewBox: `${left - 10 * step} ${top - 5 * step} ${right - left + 11 * step} ${bottom - top + 10 * step}`, role: 'img', 'aria-label': `The ring cut open: ${short('outside')} outside, ${short('bore')} bore, ${short('height')} high` }, ...lines);
  svg.append(
    ...size(axis - half('outside'), top - 1.5 * step, axis + half('outside'), top - 1.5 * step, `⌀ ${short('outside')}`, step),
    ...size(axis - half('bore'), bottom + 4 * step, axis + half('bore'), bottom + 4 * step, `⌀ ${short('bore')}`, step),
    ...size(left - 1.5 * step, top, left - 1.5 * step, bottom, short('height').split(' ')[0], step),
  );
  return [svg, make('p', { className: 'soft', textContent: 'What your caliper should read on the print, over the crests.' })];
}
