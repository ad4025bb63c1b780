"""Parts that are drawn by lot, FOREIGN_SEED (1) and FOREIGN_DRAWN (40) saying which and how many: form, size, side, hand, starts, facets, mesher, noise, place, format.

What is found with one seed may be mended by looking; another seed tells whether it was mended for all."""
import os
from cases import *

FORMATS = ["stl", "stl-text", "stl-crlf", "obj", "obj-normals", "ply", "ply-text", "3mf", "3mf-moved", "stl.gz"]


def thread(g):
    major = g.uniform(8, 60)
    pitch = float(np.clip(major * g.uniform(0.05, 0.14), 0.8, 6))
    form = g.choice(["sixty", "fiftyfive", "trapezoid", "saw", "cone"], p=[0.4, 0.2, 0.2, 0.1, 0.1])
    starts = int(g.choice([1, 2, 3], p=[0.75, 0.15, 0.1])) if form != "cone" else 1
    return dict(sixty=sixty, fiftyfive=fiftyfive, trapezoid=trapezoid, saw=saw, cone=cone)[form](
        round(major, 2), round(pitch, 3), starts=starts, left=bool(g.random() < 0.25))


def part(g):
    """A maker's name, the noise, and a function that makes the part."""
    t = thread(g)
    length = (g.uniform(2.5, 5) + 1) * t.lead + t.pitch
    n = int(g.integers(25, 120)) // 2 * 2
    way = g.choice(["turned", "nut", "twisted", "field", "noise", "scan", "two"], p=[0.2, 0.15, 0.2, 0.1, 0.15, 0.1, 0.1])
    if t.taper and way not in ("turned", "nut"):
        way = "turned"
    if way == "turned":
        return "own", 0, n, lambda: bolt(t, length, n, head=t.major * g.uniform(0.6, 1) if not t.taper else 0)
    if way == "nut":
        n = max(n // 6 * 6, 30)
        return "own", 0, n, lambda: nut(t, length, t.major * 0.8, n)
    if way == "twisted":
        turns = g.uniform(2, 5)
        return "openscad", 0, n, lambda: twisted(t.but(internal=True) if n % 4 else t, turns, n, 2 * n, outer=t.major * 0.7 if n % 4 else 0)
    if way == "two":
        u = thread(g).but(taper=0, starts=1)
        return "own", 0, n, lambda: stacked([(t, length), (u, 5 * u.pitch)] if t.minor > u.major + 2 else [(u, 5 * u.pitch), (t, length)], n)
    cell = min(t.pitch / g.uniform(6, 10), 2 * np.pi * t.major / 120)
    sigma = g.uniform(0, 0.1) * min(1, t.pitch / 2.5) if way != "field" else 0
    reach = float(g.choice([0, 1, 3]))
    seed = int(g.integers(1000))
    if way == "scan":
        return "own-net", sigma, 120, lambda: scan(t.but(internal=bool(seed % 2)), length, sigma, 360 if seed % 3 else int(g.uniform(150, 300)), seed, cell, reach)
    part = lambda: field(cells.nets if seed % 2 else cells.tetrahedra, t, min(length, 6 * t.lead), cell)
    return "own-cells", sigma, 120, part if not sigma else lambda: change.noise(part(), sigma, seed, reach)


SEED = int(os.environ.get("FOREIGN_SEED", 1))
for k in range(int(os.environ.get("FOREIGN_DRAWN", 40))):
    g = np.random.default_rng([SEED, k])
    maker, sigma, facets, make = part(g)
    fmt, inch, moved = str(g.choice(FORMATS)), bool(g.random() < 0.1), bool(g.random() < 0.5)
    inch = inch and not fmt.startswith("3mf")

    def place(make=make, inch=inch, moved=moved, k=k):
        p = make()
        p = change.anywhere(p, 1000 * SEED + k) if moved else p
        return change.inches(p) if inch else p
    case("drawn", maker, fmt, place, sound=False if maker == "own-net" else None, facets=facets, noise_mm=sigma, unit="in" if inch else "mm")
