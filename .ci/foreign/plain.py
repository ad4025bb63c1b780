"""Parts without a thread, some of which look like one: rings of grooves, knurls, springs, gears, barbs, noise."""
import math
import numpy as np
from sweep import Mesh, Turned, hexagon, join, weld


def turned(profile, n=64, **more):
    return Turned([("p", *p) for p in profile], n, **more).mesh


def bar(r, h, n, rows):
    """Fine rows, so that there is something to shake."""
    return turned([(0, 0)] + [(r, h * k / rows) for k in range(rows + 1)] + [(0, h)], n)


def surface(radius, h, n, rows, bore=0.0):
    """A bar whose radius is a function of angle and height, on an even grid."""
    points, faces = [], []
    for k in range(rows + 1):
        z = h * k / rows
        for i in range(n):
            a = 2 * math.pi * i / n
            r = radius(a, z)
            points.append((r * math.cos(a), r * math.sin(a), z))
    at = lambda k, i: k * n + i % n
    for k in range(rows):
        for i in range(n):
            faces += [(at(k, i), at(k, i + 1), at(k + 1, i + 1)), (at(k, i), at(k + 1, i + 1), at(k + 1, i))]
    low, high = len(points), len(points) + 1
    points += [(0, 0, 0), (0, 0, h)]
    for i in range(n):
        faces += [(low, at(0, i + 1), at(0, i)), (high, at(rows, i), at(rows, i + 1))]
    return Mesh(points, faces)


def knurl(r, h, teeth, angle, depth, both=True):
    """Grooves that cross: the lower of two waves that climb either way."""
    slope = math.tan(math.radians(angle)) / r

    def radius(a, z):
        one = math.cos(teeth * (a - slope * z))
        two = math.cos(teeth * (a + slope * z)) if both else 1
        return r - depth / 2 * (1 - min(one, two))
    return surface(radius, h, teeth * 8, int(h / (2 * math.pi * r / teeth) * 8))


def coil(r, wire, lead, turns, n=40, m=12):
    """A spring: a round wire along a helix."""
    points, faces = [], []
    count = int(n * turns)
    for i in range(count + 1):
        a = 2 * math.pi * i / n
        for j in range(m):
            b = 2 * math.pi * j / m
            q = r + wire * math.cos(b)
            points.append((q * math.cos(a), q * math.sin(a), lead * i / n + wire * math.sin(b)))
    at = lambda i, j: i * m + j % m
    for i in range(count):
        for j in range(m):
            faces += [(at(i, j), at(i + 1, j), at(i + 1, j + 1)), (at(i, j), at(i + 1, j + 1), at(i, j + 1))]
    for j in range(1, m - 1):
        faces += [(at(0, 0), at(0, j), at(0, j + 1)), (at(count, 0), at(count, j + 1), at(count, j))]
    return Mesh(points, faces)


def gear(teeth, module, h, twist=0.0, rows=1):
    """Trapezoid teeth on a disc, twisted over the height by so many degrees."""
    pitch = teeth * module / 2

    def radius(a, z):
        u = (a / (2 * math.pi) * teeth - twist / 360 * teeth * z / h) % 1
        tooth = min(max((0.25 - abs(u - 0.5)) / 0.12 + 0.5, 0), 1)
        return pitch - 1.25 * module + 2.25 * module * tooth
    return surface(radius, h, teeth * 16, rows)


def grooves(r, depth, step, count, width=0.5, bore=0):
    """Rings of grooves, as of O-rings or a grip: no climb."""
    profile = [(bore, 0), (r, 0)]
    for k in range(count):
        z = step * (k + 0.5)
        profile += [(r, z), (r - depth, z + step * width * 0.3), (r - depth, z + step * width * 0.7), (r, z + step * width)]
    return turned(profile + [(r, step * (count + 1)), (bore, step * (count + 1))])


def inner_grooves(r, depth, step, count):
    h = step * (count + 1)
    profile = [(r, 0), (r + 5, 0), (r + 5, h), (r, h)]
    for k in reversed(range(count)):
        z = step * (k + 0.5)
        profile += [(r, z + step / 2), (r + depth, z + step * 0.35), (r + depth, z + step * 0.15), (r, z)]
    return turned(profile)


def barb(r, step, count, rise, bore):
    profile = [(bore, 0)]
    for k in range(count):
        profile += [(r + rise, step * k), (r, step * (k + 1) - 0.01)]
    return turned(profile + [(bore, step * count)])


def stairs(steps):
    """A stack of discs: (radius, height) each."""
    profile, z = [(0, 0)], 0
    for r, h in steps:
        profile += [(r, z), (r, z + h)]
        z += h
    return turned(profile + [(0, z)])


def torus(r, wire, n=64, m=24):
    loop = [("p", r + wire * math.cos(2 * math.pi * j / m), wire * math.sin(2 * math.pi * j / m)) for j in range(m)]
    return Turned(loop, n).mesh


def ball(r, n=64, m=32):
    return turned([(r * math.sin(math.pi * k / m) if 0 < k < m else 0, -r * math.cos(math.pi * k / m)) for k in range(m + 1)], n)


def box(x, y, z, at=(0, 0, 0)):
    p = np.array([(i, j, k) for k in (0, z) for j in (0, y) for i in (0, x)], float) + np.asarray(at)
    f = [(0, 2, 3), (0, 3, 1), (4, 5, 7), (4, 7, 6), (0, 1, 5), (0, 5, 4), (2, 6, 7), (2, 7, 3), (0, 4, 6), (0, 6, 2), (1, 3, 7), (1, 7, 5)]
    return Mesh(p, f)


def square(side, h, degrees, rows):
    """A square column that turns a part of a turn."""
    return surface(lambda a, z: side / 2 / max(abs(math.cos(a - math.radians(degrees) * z / h)), abs(math.sin(a - math.radians(degrees) * z / h))), h, 64, rows)


def fins(r, h, count):
    return surface(lambda a, z: r * (1 if math.cos(count * a) > 0 else 0.8), h, count * 12, 1)


def bellows(r, depth, step, count):
    return surface(lambda a, z: r + depth * math.cos(2 * math.pi * z / step), step * count, 64, count * 16)


def stepped_spiral(r, h, steps):
    """A spiral stair of flat treads about a post: climbs once, in steps."""
    return surface(lambda a, z: r + (3 if 0 <= (z / h * 2 * math.pi - a) % (2 * math.pi) < 2 * math.pi / steps else 0), h, 96, 96)


def nut_blank(r, bore, h):
    return Turned([("p", bore, 0), ("p", r, 0, hexagon), ("p", r, h, hexagon), ("p", bore, h)], 48).mesh
