// Making elements: text is always text, never markup.

/** make returns an element with the given properties, holding words and elements. */
export function make(tag, properties = {}, ...children) {
  const e = Object.assign(document.createElement(tag), properties);
  e.append(...children);
  return e;
}

/** percent writes a chance: "<1 %", "42 %", ">99 %". */
export function percent(chance) {
  const n = Math.round(100 * chance);
  if (n === 0 && chance > 0) return '<1 %';
  if (n === 100 && chance < 1) return '>99 %';
  return `${n} %`;
}

/** fillList gives a list one item a text. */
export function fillList(list, texts, className = '') {
  list.append(...texts.map((text) => make('li', { textContent: text, className })));
}
