"""Meshers of fields on a grid, as sculpting and scanning programs have them: tetrahedra in each cell, and one vertex in each cell."""
import math
import numpy as np
from sweep import Mesh, weld


def profile(t, r, theta, z):
    """The distance (about) into the solid of a thread's ridges, infinitely long: r less the radius of the surface there, with the
    flanks' steepness taken out."""
    hand = -1 if t.left else 1
    knots = np.array(t.knots())
    at = np.mod(z - hand * t.lead * theta / (2 * math.pi), t.pitch)
    surface = t.minor / 2 + t.taper / 2 * z + np.interp(at, knots[:, 0], knots[:, 1])
    return r - surface


def grid(field, low, high, cell):
    axes = [np.arange(a - 1.5 * cell, b + 2.5 * cell, cell) for a, b in zip(low, high)]
    x, y, z = np.meshgrid(*axes, indexing="ij")
    return axes, field(x, y, z)


def nets(field, low, high, cell):
    """One vertex in each cell that the surface passes, at the mean of its crossings; a quad for each grid edge that is crossed."""
    axes, f = grid(field, low, high, cell)
    f = np.where(f == 0, 1e-9, f)
    inside = f < 0
    shape = f.shape
    total = np.zeros([s - 1 for s in shape] + [3])
    count = np.zeros([s - 1 for s in shape])
    origin = np.array([a[0] for a in axes])
    quads = []
    number = -np.ones([s - 1 for s in shape], int)
    crossings = []
    for d in range(3):
        a = [slice(None)] * 3
        b = [slice(None)] * 3
        a[d], b[d] = slice(0, -1), slice(1, None)
        fa, fb = f[tuple(a)], f[tuple(b)]
        at = np.argwhere((fa < 0) != (fb < 0))
        va, vb = fa[tuple(at.T)], fb[tuple(at.T)]
        p = at.astype(float)
        p[:, d] += va / (va - vb)
        e, g = [k for k in range(3) if k != d]
        for i in (0, 1):
            for j in (0, 1):
                c = at.copy()
                c[:, e] -= i
                c[:, g] -= j
                np.add.at(total, tuple(c.T), p)
                np.add.at(count, tuple(c.T), 1)
        crossings.append((d, at, va < 0))
    used = np.argwhere(count > 0)
    number[tuple(used.T)] = np.arange(len(used))
    points = total[tuple(used.T)] / count[tuple(used.T)][:, None] * cell + origin
    for d, at, out in crossings:
        e, g = (d + 1) % 3, (d + 2) % 3
        ring = []
        for i, j in ((1, 1), (0, 1), (0, 0), (1, 0)):
            c = at.copy()
            c[:, e] -= i
            c[:, g] -= j
            ring.append(number[tuple(c.T)])
        ring = np.stack(ring, 1)
        ring[~out] = ring[~out][:, ::-1]
        quads.append(ring)
    q = np.concatenate(quads)
    return Mesh(points, np.concatenate([q[:, [0, 1, 2]], q[:, [0, 2, 3]]]))


TETS = ((0, 1, 3, 7), (0, 3, 2, 7), (0, 2, 6, 7), (0, 6, 4, 7), (0, 4, 5, 7), (0, 5, 1, 7))


def tetrahedra(field, low, high, cell):
    """Six tetrahedra in each cell, the surface cut straight through each: closed, and many slivers."""
    axes, f = grid(field, low, high, cell)
    # No value so near to 0 that a triangle shrinks to a point.
    f = np.where(np.abs(f) < 1e-3 * cell, np.where(f < 0, -1e-3, 1e-3) * cell, f)
    s = f.shape
    flat = f.reshape(-1)
    index = np.arange(flat.size).reshape(s)
    corner = lambda k: index[(k & 1):s[0] - 1 + (k & 1), (k >> 1 & 1):s[1] - 1 + (k >> 1 & 1), (k >> 2 & 1):s[2] - 1 + (k >> 2 & 1)].reshape(-1)
    cs = [corner(k) for k in range(8)]
    signs = np.stack([flat[c] < 0 for c in cs])
    cut = signs.any(0) & ~signs.all(0)
    cs = [c[cut] for c in cs]
    edges, faces = [], []
    for tet in TETS:
        v = np.stack([cs[k] for k in tet], 1)
        neg = flat[v] < 0
        n = neg.sum(1)
        order = np.argsort(~neg, axis=1, kind="stable")  # the inner ones first
        v = np.take_along_axis(v, order, 1)
        odd = (np.stack([order[:, i] > order[:, j] for i in range(4) for j in range(i + 1, 4)]).sum(0) % 2) == 1
        for k, tris in ((1, [((0, 1), (0, 2), (0, 3))]), (3, [((0, 3), (1, 3), (2, 3))]), (2, [((0, 2), (0, 3), (1, 3)), ((0, 2), (1, 3), (1, 2))])):
            pick = n == k
            w, flip = v[pick], odd[pick]
            for tri in tris:
                t = np.stack([np.sort(w[:, list(e)], axis=1) for e in tri], 1)
                t[flip] = t[flip][:, ::-1]
                faces.append(t)
    pairs = np.concatenate(faces).reshape(-1, 2)
    keys, back = np.unique(pairs[:, 0].astype(np.int64) * flat.size + pairs[:, 1], return_inverse=True)
    a, b = keys // flat.size, keys % flat.size
    where = lambda i: np.stack([ax[k] for ax, k in zip(axes, np.unravel_index(i, s))], 1)
    t = (flat[a] / (flat[a] - flat[b]))[:, None]
    return Mesh(where(a) * (1 - t) + where(b) * t, back.reshape(-1, 3))


def bolt(t, length, chamfer=True):
    """A bar of a thread with both ends cut at 45 degrees, as a field; below 0 inside."""
    def field(x, y, z):
        r, theta = np.hypot(x, y), np.arctan2(y, x)
        f = profile(t, r, theta, z) * 0.6
        end = np.maximum(-z, z - length)
        f = np.maximum(f, end)
        if chamfer:
            f = np.maximum(f, (r - t.minor / 2 + end) * 0.7 + 0)
        return f
    return field


def nut(t, length, outer):
    def field(x, y, z):
        r, theta = np.hypot(x, y), np.arctan2(y, x)
        f = np.maximum(-profile(t, r, theta, z) * 0.6, np.maximum(-z, z - length))
        return np.maximum(f, r - outer)
    return field
