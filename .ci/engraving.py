#!/usr/bin/python3
"""Proves on tool paths that engraved letters print as they are drawn, without any of the project's code.

engraving.py PART.stl PART.gcode SPREAD   the part, the G-code of it, and by how many mm each side of its first layer spreads

Each layer of the flange is drawn twice on a grid: the part cut at the layer's middle, and the beads that the slicer lays there, each as
wide as its filament makes it (the first layer wider by what it spreads). Every hole of the cut that is neither the bore nor the outside
is a letter, or a part of one. In the beads it must be one hole as well, of its own, with as many islets in it: a stroke that closes
makes two of it, a wall that is left out joins it to another, and a lost islet makes an 8 a 0.
"""

import math
import struct
import sys

import numpy

from beads import moves

GRID = 0.06  # mm
SPECK = 0.1  # mm2: what is smaller is neither letter nor islet


class Field:
    """A grid over the part."""

    def __init__(self, low, high):
        self.low = numpy.array(low) - 1
        self.shape = tuple(int(n) for n in numpy.ceil((numpy.array(high) + 1 - self.low) / GRID))[::-1]

    def cut(self, triangles, z):
        """What the part fills at height z: each row of the grid is crossed an odd number of times before a point inside."""
        below = triangles[:, :, 2] < z
        hit = triangles[below.any(1) & ~below.all(1)]
        ends = []
        for k in range(3):
            a, b = hit[:, k], hit[:, (k + 1) % 3]
            crosses = (a[:, 2] < z) != (b[:, 2] < z)
            with numpy.errstate(divide="ignore", invalid="ignore"):
                share = ((z - a[:, 2]) / (b[:, 2] - a[:, 2]))[:, None]
            ends.append(numpy.where(crosses[:, None], a[:, :2] + share * (b[:, :2] - a[:, :2]), numpy.nan))
        ends = numpy.stack(ends, 1)
        flips = numpy.zeros(self.shape, dtype=numpy.int32)
        for points in ends:
            (x0, y0), (x1, y1) = (points[~numpy.isnan(points[:, 0])] - self.low) / GRID - 0.5
            if y0 > y1:
                x0, y0, x1, y1 = x1, y1, x0, y0
            for row in range(math.ceil(y0), math.ceil(y1)):
                flips[row, max(0, math.ceil(x0 + (row - y0) * (x1 - x0) / (y1 - y0)))] += 1
        return flips.cumsum(1) % 2 == 1

    def laid(self, runs, height, filament, spread):
        """What the beads cover."""
        out = numpy.zeros(self.shape, dtype=bool)
        area = math.pi / 4 * filament * filament
        for run in runs:
            for (x0, y0, _), (x1, y1, fed) in zip(run, run[1:]):
                way = math.hypot(x1 - x0, y1 - y0)
                if way == 0:
                    continue
                # A bead is a rectangle with half circles at its ends.
                half = (fed * area / way / height + (1 - math.pi / 4) * height) / 2 + spread
                (ax, ay), (bx, by) = (numpy.array([[x0, y0], [x1, y1]]) - self.low) / GRID - 0.5
                r = half / GRID
                left, right = max(0, math.floor(min(ax, bx) - r)), math.ceil(max(ax, bx) + r) + 1
                down, up = max(0, math.floor(min(ay, by) - r)), math.ceil(max(ay, by) + r) + 1
                y, x = numpy.ogrid[down : min(up, self.shape[0]), left : min(right, self.shape[1])]
                dx, dy = bx - ax, by - ay
                t = numpy.clip(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy), 0, 1)
                out[down:up, left:right] |= (x - ax - t * dx) ** 2 + (y - ay - t * dy) ** 2 <= r * r
        return out


def regions(mask):
    """Numbers the connected regions of a mask from 1, 0 outside of it; also the size of each."""
    label = numpy.zeros(mask.shape, dtype=numpy.int32)
    root = [0]

    def find(i):
        while root[i] != i:
            root[i] = root[root[i]]
            i = root[i]
        return i

    last = []
    for row, line in enumerate(mask):
        edges = numpy.flatnonzero(numpy.diff(numpy.concatenate(([0], line.view(numpy.int8), [0]))))
        these, k = [], 0
        for start, stop in zip(edges[::2].tolist(), edges[1::2].tolist()):
            number = len(root)
            root.append(number)
            while k < len(last) and last[k][1] <= start:
                k += 1
            j = k
            while j < len(last) and last[j][0] < stop:
                a, b = find(last[j][2]), find(number)
                root[max(a, b)] = min(a, b)
                j += 1
            label[row, start:stop] = number
            these.append((start, stop, number))
        last = these
    roots = numpy.array([find(i) for i in range(len(root))])
    label = (numpy.cumsum(roots == numpy.arange(len(root))) - 1)[roots][label]
    return label, numpy.bincount(label.ravel())


def islets(hole):
    """How many regions a hole surrounds."""
    _, sizes = regions(~numpy.pad(hole, 1))
    return sum(size * GRID * GRID > SPECK for size in sizes[1:]) - 1


def compare(drawn, lay, core):
    """Names what is wrong with the holes of one layer, of which lay() tells what is laid; also how many there are."""
    wrong = []
    of, sizes = regions(~drawn)
    letters = [k for k in range(1, len(sizes)) if k not in (of[0, 0], of[core]) and sizes[k] * GRID * GRID > SPECK]
    if not letters:
        return wrong, 0
    printed, printed_sizes = regions(~lay())
    taken = {}
    all_rows, all_columns = numpy.nonzero(numpy.isin(of, letters))
    which = of[all_rows, all_columns]
    for k in letters:
        rows, columns = all_rows[which == k], all_columns[which == k]
        window = (slice(rows.min() - 4, rows.max() + 5), slice(columns.min() - 4, columns.max() + 5))
        hole = of[window] == k
        met = [m for m in set(printed[window][hole].tolist()) if m and printed_sizes[m] * GRID * GRID > SPECK]
        place = f"at {columns.mean() * GRID:.1f}, {rows.mean() * GRID:.1f} mm of the grid"
        if len(met) != 1:
            wrong.append(f"a letter {place} comes out as {len(met)} holes")
            continue
        if met[0] in taken or met[0] in (printed[0, 0], printed[core]):
            wrong.append(f"a letter {place} runs into another, or out")
        taken[met[0]] = k
        want, got = islets(hole), islets(printed[window] == met[0])
        if want != got:
            wrong.append(f"a letter {place} has {got} islets of {want}")
    return wrong, len(letters)


def main(part, code, spread):
    with open(part, "rb") as f:
        f.seek(80)
        (n,) = struct.unpack("<I", f.read(4))
        data = numpy.frombuffer(f.read(), dtype=numpy.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")]), count=n)
    triangles = data["v"].astype(float)
    low, high = triangles.min((0, 1)), triangles.max((0, 1))
    found, filament = moves(code)
    stack = {}
    for z, run in found:
        stack.setdefault(round(z, 4), []).append(run)
    # The slicer moves the part on its bed; the box of all that it lays is the flange's, since there is no skirt.
    points = numpy.array([p[:2] for runs in stack.values() for run in runs for p in run])
    shift = (points.min(0) + points.max(0)) / 2 - (low[:2] + high[:2]) / 2
    field = Field(low[:2], high[:2])
    core = tuple(int(-c / GRID) for c in field.low[::-1])
    wrong, layers, letters, last = 0, 0, 0, 0.0
    for z in sorted(stack):
        height, middle = z - last, (z + last) / 2
        runs = [[(x - shift[0], y - shift[1], e) for x, y, e in run] for run in stack[z]]
        widened = spread if last == 0 else 0.0
        faults, seen = compare(
            field.cut(triangles, middle + 1e-4),
            lambda: field.laid(runs, height, filament or 1.75, widened),  # noqa: B023 called at once
            core,
        )
        for fault in faults:
            print(f"layer at {z:.2f} mm: {fault}")
        wrong += len(faults)
        layers, letters, last = layers + (seen > 0), letters + seen, z
        if z > 3:  # past the flange
            break
    print(f"{letters} holes of letters in {layers} layers, {wrong} wrong")
    return 3 if wrong or layers < 4 else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2], float(sys.argv[3])))
