// The marks on a picture: what is drawn over it, and how hands and keys change it. What they mean is counted elsewhere.

/** On the screen, in its pixels: how near a pointer must come, dots, and where numbers stand. */
const reach = 22;
const dot = 4;
const numberAway = 17;
const crowded = 22;

function draw(name, attributes, parent) {
  const e = document.createElementNS(parent.namespaceURI, name);
  for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
  parent.append(e);
  return e;
}

/** marks wires the sheet, whose picture is shown already; changed is called with the marks when a hand changed them. */
export function marks(sheet, changed) {
  const frame = sheet.parentElement;
  const svg = sheet.querySelector('svg');
  let list = [];
  let size = { width: 1, height: 1 };
  let picked = -1;
  let adding = false;
  let past = []; // what undo goes back to
  let dragged = null;
  let odd = -1; // the mark that is no crest of its row

  /** pixel is a pixel of the screen in pixels of the picture. */
  const pixel = () => size.width / Math.max(1, sheet.clientWidth);

  const copy = () => list.map((m) => ({ ...m }));
  function keep() {
    past.push(copy());
    if (past.length > 100) past.shift();
  }

  function render() {
    const u = pixel();
    svg.setAttribute('viewBox', `0 0 ${size.width} ${size.height}`);
    svg.replaceChildren();
    let last = null;
    list.forEach((m, i) => {
      const g = draw('g', { class: `mark${m.hand ? ' hand' : ''}${i === picked ? ' picked' : ''}${i === odd ? ' odd' : ''}`, 'data-index': i }, svg);
      const [x, y] = [m.x + 0.5, m.y + 0.5];
      const [ox, oy] = [m.out_x ?? 0, m.out_y ?? 0];
      const roomy = !last || last.edge !== m.edge || Math.hypot(last.x - m.x, last.y - m.y) >= crowded * u || i === picked;
      draw('circle', { class: 'reach', cx: x, cy: y, r: reach * u }, g);
      if (ox || oy) draw('line', { x1: x, y1: y, x2: x + ox * 9 * u, y2: y + oy * 9 * u, 'stroke-width': 2 * u }, g);
      draw('circle', { class: 'dot', cx: x, cy: y, r: dot * u, 'stroke-width': u }, g);
      // Dark on light, whatever the picture holds there.
      for (const [under, wide] of [[' under', 5], ['', 2.5]]) {
        if (i === odd) draw('path', { class: `cross${under}`, d: `M${x - 8 * u} ${y - 8 * u}l${16 * u} ${16 * u}m0 ${-16 * u}l${-16 * u} ${16 * u}`, 'stroke-width': wide * u }, g);
        if (i === picked) draw('circle', { class: `ring${under}`, cx: x, cy: y, r: 2.5 * dot * u, 'stroke-width': wide * u }, g);
      }
      if (m.number && roomy) {
        const text = draw('text', { x: x + ox * numberAway * u, y: y + oy * numberAway * u, 'font-size': 12 * u, 'stroke-width': 3 * u }, g);
        text.textContent = m.number;
        last = m;
      }
    });
  }

  function finish() {
    odd = -1;
    render();
    changed(copy());
  }

  /** nearest is the mark that a pointer means, or -1. */
  function nearest(at, within) {
    let best = -1;
    let least = within;
    list.forEach((m, i) => {
      const d = Math.hypot(m.x - at.x, m.y - at.y);
      if (d < least) [best, least] = [i, d];
    });
    return best;
  }

  function place(e) {
    const box = svg.getBoundingClientRect();
    const u = size.width / Math.max(1, box.width);
    return { x: (e.clientX - box.left) * u - 0.5, y: (e.clientY - box.top) * u - 0.5 };
  }

  /** byHand is a mark where a hand left it, as finely as the picture was shown. */
  const byHand = (m, x, y) => inside({ ...m, x, y, hand: true, pixel: pixel() });
  const inside = (m) => ({ ...m, x: Math.min(Math.max(m.x, 0), size.width - 1), y: Math.min(Math.max(m.y, 0), size.height - 1) });

  function pick(i) {
    picked = i;
    render();
    svg.querySelector('.picked')?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  }

  function put(at) {
    keep();
    list.push(byHand({}, at.x, at.y));
    picked = list.length - 1;
    finish();
  }

  svg.addEventListener('pointerdown', (e) => {
    if (e.button !== 0) return;
    if (adding) return; // a tap puts a crest, a swipe moves the picture
    const at = place(e);
    const i = nearest(at, reach * pixel());
    if (i < 0) return;
    frame.focus({ preventScroll: true });
    picked = i;
    dragged = { x: at.x - list[i].x, y: at.y - list[i].y, from: copy(), moved: false };
    svg.setPointerCapture(e.pointerId);
    render();
    e.preventDefault();
  });
  svg.addEventListener('click', (e) => {
    if (adding) put(place(e));
  });
  svg.addEventListener('pointermove', (e) => {
    if (!dragged) return;
    const at = place(e);
    list[picked] = byHand(list[picked], at.x - dragged.x, at.y - dragged.y);
    dragged.moved = true;
    render();
  });
  const drop = () => {
    if (!dragged) return;
    const { from, moved } = dragged;
    dragged = null;
    if (!moved) return;
    past.push(from);
    finish();
  };
  svg.addEventListener('pointerup', drop);
  svg.addEventListener('pointercancel', drop);

  const deeds = {
    before: () => list.length && pick((picked - 1 + list.length) % list.length),
    after: () => list.length && pick((picked + 1) % list.length),
    strike() {
      if (picked < 0) return;
      keep();
      list.splice(picked, 1);
      picked = Math.min(picked, list.length - 1);
      finish();
    },
    /** insert adds a crest halfway to the next one on the same edge, or one pitch beyond the last; the first in the middle. */
    insert() {
      const m = list[picked] ?? list.at(-1);
      if (!m) {
        const [x, y] = seen();
        put({ x: x * size.width, y: y * size.height });
        return;
      }
      const row = list.filter((o) => o.edge === m.edge).sort((a, b) => a.number - b.number);
      const k = row.indexOf(m);
      const [a, b] = k + 1 < row.length ? [m, row[k + 1]] : [row[k - 1] ?? m, m];
      if (a === b) {
        put({ x: m.x, y: m.y + reach * pixel() });
        return;
      }
      const share = k + 1 < row.length ? 0.5 : 2;
      put({ x: a.x + (b.x - a.x) * share, y: a.y + (b.y - a.y) * share });
    },
    undo() {
      if (!past.length) return;
      list = past.pop();
      picked = Math.min(picked, list.length - 1);
      finish();
    },
    closer: () => zoom(1.6),
    away: () => zoom(1 / 1.6),
  };

  /** move goes by so many pixels of the screen; a key that is held goes faster, and is one step to undo. */
  function move(dx, dy, held) {
    if (picked < 0) return;
    if (!held) keep();
    const u = (held ? 4 : 1) * pixel();
    list[picked] = byHand(list[picked], list[picked].x + dx * u, list[picked].y + dy * u);
    finish();
  }

  /** seen is the middle of what is seen of the picture, as shares of its sides. */
  const seen = () => [
    (frame.scrollLeft + frame.clientWidth / 2) / Math.max(1, sheet.clientWidth),
    (frame.scrollTop + frame.clientHeight / 2) / Math.max(1, sheet.clientHeight),
  ];

  function zoom(by) {
    const now = (parseFloat(sheet.style.width) || 100) * by;
    const m = list[picked]; // it, or the middle of what is seen, stays in the middle
    const [x, y] = m ? [m.x / size.width, m.y / size.height] : seen();
    sheet.style.width = `${Math.min(Math.max(now, 100), 1600)}%`;
    render();
    frame.scrollTo(x * sheet.clientWidth - frame.clientWidth / 2, y * sheet.clientHeight - frame.clientHeight / 2);
  }

  const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  const keys = { Delete: 'strike', Backspace: 'strike', Insert: 'insert', '+': 'closer', '-': 'away' };
  frame.addEventListener('keydown', (e) => {
    if (arrows[e.key] && e.shiftKey) move(...arrows[e.key], e.repeat);
    else if (arrows[e.key]) deeds[e.key === 'ArrowLeft' || e.key === 'ArrowDown' ? 'before' : 'after']();
    else if (e.key === 'z' && (e.ctrlKey || e.metaKey)) deeds.undo();
    else if (keys[e.key] && !e.ctrlKey && !e.metaKey) deeds[keys[e.key]]();
    else return;
    e.preventDefault();
  });
  new ResizeObserver(render).observe(sheet);

  return {
    deeds,
    pixel,
    /** adding turns on or off that a tap puts a crest. */
    adding(on) {
      adding = on;
      sheet.classList.toggle('adding', on);
    },
    /** show puts up the marks of a new picture. */
    show(width, height, found) {
      size = { width, height };
      list = found;
      picked = odd = -1;
      past = [];
      sheet.style.width = '';
      render();
    },
    /** told takes in what was counted of the same marks. */
    told(found) {
      if (found.length !== list.length) return;
      list = list.map((m, i) => ({ ...found[i], x: m.x, y: m.y, hand: m.hand, pixel: m.pixel }));
      render();
    },
    isAdding: () => adding,
    /** point shows which mark is no crest of its row. */
    point(index) {
      odd = index;
      render();
    },
    /** where says which crest is picked, in words. */
    where() {
      const m = list[picked];
      if (!m) return '';
      return m.number ? `Crest ${m.number}, ${m.edge} edge` : 'A new crest';
    },
  };
}
