"""Twist extrusion, turned parts, fields, scans, and what happens to parts on their way."""
from cases import *
nets, tetrahedra = cells.nets, cells.tetrahedra

# Twist extrusion, 16 to 100 slices a turn, points of the section round or also at its corners.
for k, (t, slices, arc, corners) in enumerate([
        (M20, 16, 48, True), (M20, 24, 96, True), (M20, 36, 120, True), (M20, 100, 200, True), (M12, 30, 60, False), (M30, 48, 90, False),
        (G1, 40, 96, True), (TR20, 36, 72, True), (M20.but(left=True, standard=""), 36, 96, True), (M20.but(starts=2, standard=""), 60, 96, True),
        (TR20.but(starts=4, standard=""), 64, 128, True), (SHOE, 72, 144, True)]):
    case("twist", "openscad", "stl", None, write=scad.written(*scad.twisted(t, 5 if t.starts == 1 else 2.5, slices, arc, corners)), facets=min(slices, arc))
for t, slices, outer, sides, fmt in [(M20, 16, 15, 6, "stl"), (M20, 32, 15, 48, "stl"), (G12, 48, 15, 64, "3mf"), (M12.but(left=True, standard=""), 40, 9, 64, "stl")]:
    case("twist-nut", "openscad", fmt, None, write=scad.written(*scad.twisted(t.but(internal=True), 5, slices, 96, outer=outer, sides=sides)), facets=slices)
for radius, off, lead, slices, left in [(9, 1, 4, 36, False), (12, 0.8, 3, 60, False), (6, 0.7, 3, 24, True)]:
    case("twist-wave", "openscad", "stl", None, write=scad.written(*scad.wave(radius, off, lead, 5, slices, 60, left)), facets=slices)
# Several at an angle to each other, changed on their way.
case("twist", "openscad", "ply-text", lambda: change.anywhere(twisted(M12, 6, 36, 96), 80), facets=36)
case("twist", "openscad", "obj", lambda: change.inches(twisted(STRAINER, 5, 40, 96)), facets=40, unit="in")

# Turned parts of clean faces.
for t, n, fmt in [(M20, 32, "stl"), (G1, 60, "ply"), (SAW, 72, "obj"), (TR, 48, "stl-crlf"), (SHOE, 96, "3mf-moved"), (M8, 24, "obj-normals"), (FREE, 40, "ply-text"), (M20.but(starts=2, standard=""), 60, "stl-e"),
                  (trapezoid(24, 3, starts=4, left=True), 64, "obj-behind"), (PIPE, 64, "stl.gz")]:
    case("turned", "own", fmt, lambda t=t, n=n: bolt(t, 6 * t.pitch if t.starts == 1 else 5 * t.lead, n, head=t.major * 0.8), facets=n)
for t, n, fmt in [(M20, 24, "stl"), (G1, 48, "3mf"), (M12.but(left=True, standard=""), 36, "ply"), (TR20.but(starts=2, standard=""), 60, "stl"), (PIPE, 64, "obj"), (SAW, 60, "stl")]:
    case("turned-nut", "own", fmt, lambda t=t, n=n: nut(t, 6 * t.pitch if t.starts == 1 else 5 * t.lead, t.major * 0.8, n), facets=n)

# Rotated anywhere and moved, inches.
for k, (t, fmt) in enumerate([(M20, "stl"), (G1, "stl-text"), (SHOE, "ply"), (TR20, "stl"), (M12, "obj"), (M20.but(starts=2, standard=""), "stl")]):
    case("anywhere", "own", fmt, lambda t=t, k=k: change.anywhere(bolt(t, 6 * t.pitch if t.starts == 1 else 5 * t.lead, 48), k), facets=48)
for t, fmt in [(SHOE, "stl"), (STRAINER, "obj"), (M20, "ply"), (G1, "stl-text")]:
    case("inches", "own", fmt, lambda t=t: change.inches(bolt(t, 6 * t.pitch, 60)), facets=60, unit="in")
    case("inches-nut", "own", "stl", lambda t=t: change.inches(nut(t, 7 * t.pitch, t.major * 0.75, 60)), facets=60, unit="in")
case("inches", "own", "3mf-inch", lambda: change.inches(bolt(SHOE, 12, 60)), facets=60, unit="mm", says="inch")

# Several threads, several bodies.
case("several", "own", "stl", lambda: stacked([(M30, 14), (M20, 18)], bore=5), facets=48)
case("several", "own", "stl", lambda: change.anywhere(stacked([(M30, 14), (M20, 18)], bore=5), 9), facets=48)
case("several", "own", "stl", lambda: stacked([(SHOE, 14), (STRAINER, 12), (M20, 15)], 60), facets=60)
case("several", "own", "3mf", lambda: coupler(M20, M20, 14, 16), facets=48)
case("several", "own", "stl", lambda: coupler(M20, M12, 14, 16), facets=48)
case("several", "own", "obj", lambda: stacked([(G1, 20), (G1, 20)], 60, bore=8), facets=60)
case("several", "own", "stl", lambda: bush(SHOE, M30, 20), facets=60)
case("several", "own", "ply", lambda: bush(SHOE.but(left=True, standard=""), M30, 20), facets=60)
case("off-middle", "own", "stl", lambda: stacked([(M20, 15)], 48, plate=(oblong(60, 20, 15, 35, 1), 6)), facets=48)
case("off-middle", "own", "stl", lambda: change.anywhere(stacked([(M12, 12)], 48, plate=(oblong(70, 9, 30, 9, 1), 5)), 4), facets=48)
case("off-middle", "own", "stl", lambda: bottle(trapezoid(28, 4).but(depth=1.2, crest=1.2)), facets=60)
case("off-middle", "own", "obj", lambda: bottle(G1), facets=60)
case("bodies", "own", "stl", lambda: beside(bolt(M20, 18, head=15), change.place(nut(M20, 12, 15), shift=(45, 3, 0))), facets=48, bodies=2)
case("bodies", "own", "3mf", lambda: beside(bolt(G1, 16, head=22), change.place(nut(M12, 14, 10), change.rotation((1, 0, 0), 90), (50, 10, 5))), facets=48, bodies=2)
case("bodies", "own", "stl", lambda: beside(bolt(M20, 30, head=15), change.place(nut(M20.but(major=20.4, standard=""), 10, 15), shift=(0, 0, 15))), facets=48, bodies=2, sound=None)
case("bodies", "own", "stl", lambda: beside(*[change.anywhere(bolt(t, 8 * t.pitch), 30 + k) for k, t in enumerate([M8, M12, M20])]), facets=48, bodies=3, sound=None)

# Fields on a grid.
for mesher, t, cell, fmt in [(nets, M20, 0.4, "stl"), (nets, M20, 0.2, "stl"), (tetrahedra, M20, 0.4, "ply"), (nets, TR20, 0.35, "stl"), (tetrahedra, M30, 0.5, "stl"), (nets, M30.but(left=True, standard=""), 0.3, "ply")]:
    case("field", "own-" + mesher.__name__, fmt, lambda f=mesher, t=t, c=cell: field(f, t, 7 * t.pitch, c), facets=round(3.14 * t.major / cell), cell=cell, sound=None)
for mesher, t, cell, fmt in [(nets, M20, 0.3, "stl"), (tetrahedra, TR20, 0.4, "stl")]:
    case("field-nut", "own-" + mesher.__name__, fmt, lambda f=mesher, t=t, c=cell: field_nut(f, t, 6 * t.pitch, c), facets=round(3.14 * t.major / cell), cell=cell, sound=None)

# Noise: closed parts and skins as scanners see them.
for k, (t, sigma, reach) in enumerate([(M20, 0.01, 0), (M20, 0.03, 0), (G1, 0.05, 1.0), (M30, 0.1, 2.0), (TR20, 0.05, 0), (M20, 0.05, 3.0)]):
    case("noise", "own-nets", "stl", lambda t=t, s=sigma, r=reach, k=k: change.noise(field(nets, t, 7 * t.pitch, 0.3), s, k, r), facets=200, noise_mm=sigma, reach_mm=reach, sound=None)
for k, (t, sigma, degrees, reach) in enumerate([
        (M20, 0.02, 360, 0), (M20, 0.05, 360, 1.0), (SHOE, 0.05, 360, 2.0), (G1.but(internal=True), 0.03, 360, 0), (G1, 0.02, 180, 0), (TR, 0.05, 200, 1.0), (SHOE, 0.03, 120, 0), (M30.but(internal=True), 0.03, 180, 0.5),
        (SHOE, 0, 360, 0), (M20, 0, 90, 0), (M30, 0.1, 360, 0), (M12.but(left=True, standard=""), 0.03, 360, 0.5)]):
    case("scan", "own-net", "ply" if k % 2 else "stl", lambda t=t, s=sigma, d=degrees, r=reach, k=k: change.anywhere(scan(t, 7 * t.pitch, s, d, k, 0.2 if t.major < 40 else 0.3, r), 50 + k),
         facets=200, noise_mm=sigma, reach_mm=reach, sound=False, fault="open")

# Bent, worn, cut.
for x, y in [(1.01, 0.99), (1.004, 1.0), (1.02, 1.0)]:
    case("oval", "own", "stl", lambda x=x, y=y: change.oval(bolt(M20, 18, 64), x, y), facets=64)
for depth, t in [(0.2, M20), (0.4, M30), (0.3, G1)]:
    case("worn", "own", "stl", lambda d=depth, t=t: change.worn(bolt(t, 7 * t.pitch, 60), d), facets=60, sound=None)
for by, t in [(1.01, M20), (0.97, SHOE)]:
    case("scaled", "own", "stl", lambda b=by, t=t: change.scaled(bolt(t, 7 * t.pitch, 60), b), facets=60)
for degrees, t in [(180, M20), (300, G1), (120, SHOE)]:
    case("skin", "own", "stl", lambda d=degrees, t=t: change.skin(bolt(t, 7 * t.pitch, 72), d), facets=72, sound=False, fault="open")
case("turns", "own", "stl", lambda: bolt(M20, 7.2, 48, fade=0.2), facets=48)
case("turns", "own", "stl", lambda: bolt(trapezoid(28, 4).but(depth=1.2, crest=1.2), 11, 48, fade=0.2), facets=48)
case("turns", "own", "stl", lambda: nut(M20, 7.2, 16, 48, fade=0.2), facets=48)
case("coarse", "own", "stl", lambda: bolt(M20, 18, 12), facets=12)
case("coarse", "own", "stl", lambda: bolt(M20, 18, 18), facets=18)
case("coarse", "own", "stl", lambda: nut(M20, 18, 16, 18), facets=18)

