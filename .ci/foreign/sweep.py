"""A mesher of our own hand for turned parts: a loop in the half plane is turned about z; ridges run along their helices and fade out.

A loop is a list, counter-clockwise as seen with r to the right and z up, of ("p", r, z), ("p", r, z, outline) and ("t", thread, z0, z1);
an outline is a function of theta that a radius is multiplied with. Rows of all items have the same n columns."""
import math
import numpy as np


class Mesh:
    """Vertices, triangles, and what each triangle belongs to."""

    def __init__(self, points, faces, tags=None):
        self.points, self.faces = np.asarray(points, float).reshape(-1, 3), np.asarray(faces, int).reshape(-1, 3)
        self.tags = np.asarray(tags if tags is not None else [-1] * len(self.faces))

    def copy(self):
        return Mesh(self.points.copy(), self.faces.copy(), self.tags.copy())


def weld(points, faces, tags):
    """Joins equal points (their coordinates are computed alike) and drops faces without area."""
    keys, first, back = np.unique(np.round(points, 7), axis=0, return_index=True, return_inverse=True)
    faces = back.reshape(-1)[faces]
    good = (faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 0] != faces[:, 2])
    return Mesh(np.asarray(points)[first], faces[good], np.asarray(tags)[good])


def join(*meshes):
    at, points, faces, tags = 0, [], [], []
    for m in meshes:
        points.append(m.points)
        faces.append(m.faces + at)
        tags.append(m.tags)
        at += len(m.points)
    return Mesh(np.concatenate(points), np.concatenate(faces), np.concatenate(tags))


class Turned:
    def __init__(self, loop, n, arc=6, between=0, phase=0.0, fade=0.5):
        self.n, self.arc, self.between, self.phase, self.fade = n, arc, between, phase, fade
        self.points, self.faces, self.tags, self.ranges = [], [], [], []
        rows = [self.row(item, k, loop) for k, item in enumerate(loop)]
        for k, (_, last) in enumerate(rows):
            self.band(last, rows[(k + 1) % len(rows)][0])
        self.mesh = weld(np.array(self.points), np.array(self.faces), np.array(self.tags))

    def angle(self, i):
        return 2 * math.pi * (i % self.n) / self.n + self.phase

    def add(self, r, i, z):
        a = self.angle(i)
        self.points.append((r * math.cos(a), r * math.sin(a), z))
        return len(self.points) - 1

    def face(self, *v, tag=-1):
        for a, b in zip(v[1:], v[2:]):
            self.faces.append((v[0], a, b))
            self.tags.append(tag)

    def row(self, item, k, loop):
        if item[0] == "p":
            scale = item[3] if len(item) > 3 else lambda a: 1.0
            row = [self.add(item[1] * scale(self.angle(i)), i, item[2]) for i in range(self.n)]
            return row, row
        return self.thread(*item[1:], tag=k)

    def band(self, low, high):
        """Faces between two rows; the loop's inner side is the solid's, so that outward is to the right of the way."""
        n = self.n
        for i in range(n):
            j = (i + 1) % n
            self.face(low[i], low[j], high[j], high[i])

    def thread(self, t, z0, z1, tag):
        """A threaded surface between the heights z0 and z1, in the loop's direction: upward is outside, downward inside."""
        down = z1 < z0
        low, high = min(z0, z1), max(z0, z1)
        n, gap = self.n, 0.3 * t.pitch
        knots = []
        for s in range(t.starts):
            knots += [(s * t.pitch + z, h) for z, h in t.knots(self.arc, self.between)][(1 if s else 0):]
        count = int(n * ((high - low - 2 * gap) / t.lead - 1))
        assert count >= n, "too short"
        share = self.fade / t.starts  # of a turn
        fade = share * n
        hand = -1 if t.left else 1
        foot = low + gap
        core = lambda z: t.minor / 2 + t.taper / 2 * (z - low)
        strip = []
        for i in range(count + 1):
            f = max(0.0, min(1.0, i / fade, (count - i) / fade)) if fade else 1.0
            zs = [foot + t.lead * i / n + z for z, _ in knots]
            strip.append([self.add(core(z) + f * h, hand * i, z) for z, (_, h) in zip(zs, knots)])
        bottom = [self.add(core(low), hand * i, low) for i in range(n)]
        top = [self.add(core(high), hand * i, high) for i in range(n)]
        flip = (hand < 0) != down  # a mirrored helix, or a surface that looks inward
        face = lambda *v: self.face(*(reversed(v) if flip else v), tag=tag)
        for a, b in zip(strip, strip[1:]):
            for k in range(len(knots) - 1):
                face(a[k], b[k], b[k + 1], a[k + 1])
        # The first turn's lower edge to the bottom; the last of these also takes the strip's first column, which stands upright.
        for i in range(n - 1):
            face(bottom[i], bottom[i + 1], strip[i + 1][0], strip[i][0])
        last = strip[n - 1][0]
        chain = [bottom[0]] + strip[0]
        face(last, bottom[n - 1], chain[0])
        for a, b in zip(chain, chain[1:]):
            face(last, a, b)
        # The same above, from the last turn's upper edge.
        turn = lambda i: top[i % n]
        for i in range(count - n + 1, count):
            face(strip[i][-1], strip[i + 1][-1], turn(i + 1), turn(i))
        first = strip[count - n + 1][-1]
        chain = strip[count] + [turn(count)]
        for a, b in zip(chain, chain[1:]):
            face(a, first, b)
        face(turn(count), first, turn(count - n + 1))
        turns = count / n - 2 * share
        start, end = foot + t.lead * share, foot + t.lead * (count / n - share + 1)
        self.ranges.append(t.truth((0, 0, low), (0, 0, 1), (0, 0, start), (0, 0, end), turns))
        order = [0] + [(-i) % n if hand < 0 else i for i in range(1, n)]
        bottom, top = [bottom[k] for k in order], [top[k] for k in order]
        return (top, bottom) if down else (bottom, top)


def hexagon(a):
    """A radius factor that makes the circle of a flat's distance a hexagon."""
    a = (a + math.pi / 6) % (math.pi / 3) - math.pi / 6
    return 1 / math.cos(a)


def oblong(right, left, up, low, r):
    """A radius factor that makes a circle of radius r a rectangle reaching so far to each side."""
    def scale(a):
        c, s = math.cos(a), math.sin(a)
        x = (right if c > 0 else left) / max(abs(c), 1e-9)
        y = (up if s > 0 else low) / max(abs(s), 1e-9)
        return min(x, y) / r
    return scale
