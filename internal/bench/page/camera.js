// Where the eye is: turned by drag, arrows or buttons; nearer and further by wheel, pinch, plus and minus.

const start = { turn: -0.5, tip: 0.62, zoom: 1 };
const limits = { tip: 1.5, nearest: 8, furthest: 0.4 };
const moves = {
  left: (c) => (c.turn -= 0.2),
  right: (c) => (c.turn += 0.2),
  up: (c) => (c.tip += 0.15),
  down: (c) => (c.tip -= 0.15),
  closer: (c) => (c.zoom *= 1.25),
  away: (c) => (c.zoom /= 1.25),
  back: (c) => Object.assign(c, start),
};
const keys = { ArrowLeft: 'left', ArrowRight: 'right', ArrowUp: 'up', ArrowDown: 'down', '+': 'closer', '=': 'closer', '-': 'away', 0: 'back', Home: 'back' };

/** camera listens on the canvas and the buttons; moved is called after each change. */
export function camera(canvas, buttons, moved) {
  const eye = { ...start };
  const change = (f) => {
    f(eye);
    eye.tip = Math.max(-limits.tip, Math.min(limits.tip, eye.tip));
    eye.zoom = Math.max(limits.furthest, Math.min(limits.nearest, eye.zoom));
    moved();
  };
  canvas.addEventListener('keydown', (e) => {
    const move = moves[keys[e.key]];
    if (!move || e.ctrlKey || e.metaKey || e.altKey) return;
    e.preventDefault();
    change(move);
  });
  for (const b of buttons) b.addEventListener('click', () => change(moves[b.dataset.move]));
  canvas.addEventListener('wheel', (e) => {
    if (document.activeElement !== canvas && !e.ctrlKey) return; // a page that is scrolled past is left alone
    e.preventDefault();
    change((c) => (c.zoom *= Math.exp(-e.deltaY * (e.deltaMode ? 0.05 : 0.0015))));
  }, { passive: false });

  const fingers = new Map();
  const span = () => {
    const [a, b] = [...fingers.values()];
    return Math.hypot(a.x - b.x, a.y - b.y);
  };
  canvas.addEventListener('pointerdown', (e) => {
    fingers.set(e.pointerId, { x: e.clientX, y: e.clientY });
    canvas.setPointerCapture(e.pointerId);
  });
  canvas.addEventListener('pointermove', (e) => {
    const from = fingers.get(e.pointerId);
    if (!from) return;
    const before = fingers.size === 2 ? span() : 0;
    const [dx, dy] = [e.clientX - from.x, e.clientY - from.y];
    from.x = e.clientX;
    from.y = e.clientY;
    if (fingers.size === 2 && before > 0) change((c) => (c.zoom *= span() / before));
    else if (fingers.size === 1) change((c) => Object.assign(c, { turn: c.turn - dx * 0.01, tip: c.tip + dy * 0.01 }));
  });
  for (const end of ['pointerup', 'pointercancel']) canvas.addEventListener(end, (e) => fingers.delete(e.pointerId));
  return eye;
}

/** axes are the eye's own: to the right, up, and towards it; it looks down by tip. */
function axes(eye) {
  const [ct, st, cp, sp] = [Math.cos(eye.turn), Math.sin(eye.turn), Math.cos(eye.tip), Math.sin(eye.tip)];
  return [[ct, st, 0], [-st * sp, ct * sp, cp], [st * cp, -ct * cp, sp]];
}

/** light comes over the left shoulder of the eye. */
export function light(eye) {
  const [right, up, near] = axes(eye);
  return right.map((x, k) => -0.45 * x + 0.55 * up[k] + 0.7 * near[k]);
}

/** across is how much of the canvas' height or width a ring takes, seen as at the start or from above. */
const across = 0.92;

/** matrix puts the ring before the eye: columns, for a canvas of the given width over height. */
export function matrix(eye, { middle, reach, round, tall }, aspect) {
  const most = Math.max(round * Math.sin(start.tip) + tall * Math.cos(start.tip), across * round, round / aspect);
  const fit = (eye.zoom * across) / most;
  const scale = [fit / aspect, fit, -0.1 / reach];
  const rows = axes(eye).map((row, k) => row.map((x) => x * scale[k]));
  const shift = rows.map((row) => -(row[0] * middle[0] + row[1] * middle[1] + row[2] * middle[2]));
  return new Float32Array([
    rows[0][0], rows[1][0], rows[2][0], 0, rows[0][1], rows[1][1], rows[2][1], 0,
    rows[0][2], rows[1][2], rows[2][2], 0, shift[0], shift[1], shift[2], 1,
  ]);
}
