// The mesh as the bench sends it: the numbers of vertices and faces, then the vertices in mm, then the faces.

export function readMesh(bytes) {
  const [vertices, faces] = new Uint32Array(bytes, 0, 2);
  return {
    points: new Float32Array(bytes, 8, 3 * vertices),
    corners: new Uint32Array(bytes, 8 + 12 * vertices, 3 * faces),
  };
}

/** extent returns the middle of the points and how far they reach from it. */
export function extent(points) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < points.length; i += 3) {
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k], points[i + k]);
      high[k] = Math.max(high[k], points[i + k]);
    }
  }
  return {
    middle: low.map((x, k) => (x + high[k]) / 2),
    reach: Math.hypot(...low.map((x, k) => (high[k] - x) / 2)),
  };
}
