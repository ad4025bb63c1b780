// The mesh as the bench sends it: the numbers of vertices and faces, then the vertices in mm, then the faces:
// in two bytes a corner where that is enough, else in four.

export function readMesh(bytes) {
  const [vertices, faces] = new Uint32Array(bytes, 0, 2);
  return {
    points: new Float32Array(bytes, 8, 3 * vertices),
    corners: new (vertices <= 65536 ? Uint16Array : Uint32Array)(bytes, 8 + 12 * vertices, 3 * faces),
  };
}

/** extent returns the middle of the points, how far they reach from it, and half of their width and height. */
export function extent(points) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < points.length; i += 3) {
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k], points[i + k]);
      high[k] = Math.max(high[k], points[i + k]);
    }
  }
  const half = low.map((x, k) => (high[k] - x) / 2);
  return { middle: low.map((x, k) => x + half[k]), reach: Math.hypot(...half), round: Math.max(half[0], half[1]), tall: half[2] };
}
