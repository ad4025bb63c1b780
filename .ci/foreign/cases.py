"""The list of part files: for each its kind, its maker, the format it is written in, and how it comes about.

A case is a dict with kind, maker, format and make, which returns (mesh, truths); sound is what is known of it beforehand: True, False, or
None where only an exact kernel can tell. What else stands in it is told in the truth as it is."""
import numpy as np
import broken
import cells
import change
import plain
import scad
from sweep import Turned, hexagon, join, oblong
from thread import cone, fiftyfive, saw, sixty, trapezoid

CASES = []


def case(kind, maker, format, make, sound=True, **more):
    CASES.append(dict(kind=kind, maker=maker, format=format, make=make, sound=sound, **more))


def bolt(t, length, n=48, head=0.0, **more):
    """A bar with a thread, over a head if it has one."""
    loop = [("p", 0, 0)] + ([("p", head, 0, hexagon), ("p", head, 5, hexagon)] if head else [])
    z = 5 if head else 0
    core = t.minor / 2
    loop += [("p", core, z), ("t", t, z + 1, z + 1 + length), ("p", core + t.taper / 2 * length, z + 2 + length), ("p", 0, z + 2 + length)]
    s = Turned(loop, n, **more)
    return s.mesh, s.ranges


def nut(t, length, outer, n=48, **more):
    t = t.but(internal=True)
    core, wide = t.minor / 2, t.minor / 2 + t.taper / 2 * length
    s = Turned([("p", core, 0), ("p", outer, 0, hexagon), ("p", outer, length + 2, hexagon), ("p", wide, length + 2), ("t", t, length + 1, 1)], n, **more)
    return s.mesh, s.ranges


def stacked(threads, n=48, bore=0.0, inner=(), plate=None, **more):
    """Threads outside over each other, each (thread, length), necks between; inner ones likewise from below; a plate below."""
    loop, z = [("p", bore, 0)] if not inner else [], 0
    if plate:
        outline, thick = plate
        loop += [("p", 1, 0, outline), ("p", 1, thick, outline)]
        z = thick
    for t, length in threads:
        loop += [("p", t.minor / 2, z), ("t", t, z + 1, z + 1 + length)]
        z += length + 2
        loop.append(("p", t.minor / 2, z))
    top = z
    if not inner:
        loop.append(("p", bore, top))
    z, inside = 0, []
    for t, length in inner:
        t = t.but(internal=True)
        inside += [("p", t.minor / 2, z), ("t", t, z + 1 + length, z + 1), ("p", t.minor / 2, z + length + 2)]
        z += length + 2
    if inner:
        r = inside[-1][1]
        loop += [("p", r, top)]
        loop += list(reversed(inside)) if z < top else list(reversed(inside))[1:]
    s = Turned(loop, n, **more)
    return s.mesh, s.ranges


def coupler(t, u, length, outer, n=48):
    """A sleeve with an inner thread from either end."""
    t, u = t.but(internal=True), u.but(internal=True)
    h = 2 * length + 6
    s = Turned([("p", t.minor / 2, 0), ("p", outer, 0), ("p", outer, h), ("p", u.minor / 2, h), ("t", u, h - 1, h - 1 - length),
                ("p", u.minor / 2, h / 2 + 1), ("p", t.minor / 2, h / 2 - 1), ("t", t, 1 + length, 1)], n)
    return s.mesh, s.ranges


def beside(*parts):
    return join(*[m for m, _ in parts]), [t for _, ts in parts for t in ts]


def bush(t, u, length, n=60):
    """One thread inside, one outside, of one length."""
    u = u.but(internal=True)
    s = Turned([("p", u.minor / 2, 0), ("p", t.minor / 2, 0), ("t", t, 1, length - 1), ("p", t.minor / 2, length), ("p", u.minor / 2, length), ("t", u, length - 1, 1)], n)
    return s.mesh, s.ranges


def bottle(t, n=60):
    """A body with its neck off the middle."""
    outline = oblong(45, 15, 20, 20, 1)
    s = Turned([("p", 0, 0), ("p", 1, 0, outline), ("p", 1, 40, outline), ("p", t.minor / 2, 46), ("t", t, 47, 47 + 5 * t.pitch), ("p", t.minor / 2, 48 + 5 * t.pitch), ("p", 0, 48 + 5 * t.pitch)], n)
    return s.mesh, s.ranges


def scan(t, length, sigma, degrees=360, seed=1, cell=0.2, reach=0.0):
    """What a scanner sees of a bar's or a bore's thread: a skin of points on a net, without ends, shaken along its normals."""
    n = int(np.pi * t.major / cell)
    count = max(int(n * degrees / 360), 3)
    rows = int(length / cell)
    a = np.arange(count + (0 if degrees == 360 else 1)) * 2 * np.pi * degrees / 360 / count + 0.3
    z = np.linspace(0, length, rows + 1)
    aa, zz = np.meshgrid(a, z)
    r = -cells.profile(t, 0.0, aa, zz)
    points = np.stack([r * np.cos(aa), r * np.sin(aa), zz], -1).reshape(-1, 3)
    w = len(a)
    faces = []
    for k in range(rows):
        for i in range(w if degrees == 360 else w - 1):
            j = (i + 1) % w
            p, q, s, u = k * w + i, k * w + j, (k + 1) * w + j, (k + 1) * w + i
            faces += [(p, q, s), (p, s, u)]
    faces = np.array(faces)
    if t.internal:
        faces = faces[:, ::-1]
    from sweep import Mesh
    part = Mesh(points, faces), [t.truth((0, 0, 0), (0, 0, 1), (0, 0, 0), (0, 0, length), length / t.lead, degrees / 360)]
    return change.noise(part, sigma, seed, reach) if sigma else part


def field(mesher, t, length, cell):
    r = t.major / 2
    m = mesher(cells.bolt(t, length), (-r, -r, 0), (r, r, length), cell)
    return m, [t.truth((0, 0, 0), (0, 0, 1), (0, 0, t.depth), (0, 0, length - t.depth), (length - 2 * t.depth) / t.lead)]


def field_nut(mesher, t, length, cell):
    t = t.but(internal=True)
    r = t.major / 2 + 4
    m = mesher(cells.nut(t, length, r), (-r, -r, 0), (r, r, length), cell)
    return m, [t.truth((0, 0, 0), (0, 0, 1), (0, 0, 0), (0, 0, length), length / t.lead)]


def twisted(*args, **more):
    text, truth = scad.twisted(*args, **more)
    return scad.mesh(text), [truth]


M20, M12, M30, M8 = sixty(20, 2.5, standard="M20x2.5"), sixty(12, 1.75, standard="M12x1.75"), sixty(30, 2, standard="M30x2"), sixty(8, 1.25, standard="M8x1.25")
G1, G2 = fiftyfive(33.249, 25.4 / 11, standard="G 1"), fiftyfive(59.614, 25.4 / 11, standard="G 2")
G12 = fiftyfive(20.955, 25.4 / 14, standard="G 1/2")
SHOE = sixty(47.625, 25.4 / 14, standard="1 7/8-14 UN")
STRAINER = sixty(41.275, 25.4 / 16, standard="1 5/8-16 UN")
TR = trapezoid(40, 7, standard="Tr 40x7")
TR20 = trapezoid(20, 4, standard="Tr 20x4")
SAW = saw(60, 9, standard="S 60x9")
PIPE = cone(21.3, 25.4 / 14)
FREE = sixty(27.3, 1.9)
