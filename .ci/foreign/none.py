"""Files without a thread."""
from cases import *
from plain import *


def no(name, make, fmt="stl", **more):
    case("none", "own", fmt, lambda: (make(), []), what=name, **more)


shaken = lambda m, s, seed, reach=0: change.noise((m, []), s, seed, reach)[0]
no("bar", lambda: bar(10, 30, 48, 1))
no("bar, noise 0.02", lambda: shaken(bar(10, 30, 96, 60), 0.02, 1), sound=None, noise_mm=0.02)
no("bar, noise 0.05", lambda: shaken(bar(10, 30, 160, 100), 0.05, 2), "ply", sound=None, noise_mm=0.05)
no("bar, noise 0.1 over 2 mm", lambda: shaken(bar(15, 40, 200, 120), 0.1, 3, 2.0), sound=None, noise_mm=0.1)
no("bar, coarse noise", lambda: shaken(bar(10, 30, 24, 12), 0.05, 4), sound=None, noise_mm=0.05)
no("tube, noise 0.05", lambda: shaken(join(turned([(8, 0)] + [(10, 0.4 * k) for k in range(76)] + [(8, 0.4 * k) for k in range(75, 0, -1)], 128)), 0.05, 5), sound=None, noise_mm=0.05)
no("diamond knurl", lambda: knurl(10, 20, 40, 30, 0.8))
no("coarse diamond knurl", lambda: knurl(15, 25, 24, 45, 1.2))
no("straight knurl", lambda: knurl(10, 20, 40, 0, 0.8, False))
no("spring", lambda: coil(10, 1, 4, 6))
no("tight spring", lambda: coil(12, 1, 2.05, 8), "obj")
no("gear", lambda: gear(20, 1.5, 10))
no("helical gear", lambda: gear(24, 1.5, 12, 15, 24))
no("stairs", lambda: stairs([(20, 5), (15, 5), (10, 10), (8, 3)]))
no("even stairs", lambda: stairs([(12 - 0.5 * k, 2) for k in range(12)]), "ply")
no("rings of grooves", lambda: grooves(10, 1, 2.5, 8))
no("fine rings of grooves", lambda: grooves(20, 0.6, 1.5, 12), "3mf")
no("rings of grooves, bored", lambda: grooves(20, 1.5, 4, 5, bore=12))
no("rings of grooves inside", lambda: inner_grooves(12, 1, 2.5, 7))
no("rings of grooves, noise 0.02", lambda: shaken(bellows(10, 0.5, 2.5, 8), 0.02, 6), sound=None, noise_mm=0.02)
no("hose barb", lambda: barb(8, 4, 5, 1.2, 5))
no("long hose barb", lambda: barb(6, 2.5, 10, 0.6, 4), "stl-text")
no("bellows", lambda: bellows(15, 1, 3, 8))
no("torus", lambda: torus(15, 4))
no("ball", lambda: ball(12))
no("ball, noise", lambda: shaken(ball(12, 96, 64), 0.03, 7), sound=None, noise_mm=0.03)
no("box", lambda: box(20, 30, 10))
no("turned column", lambda: square(20, 40, 90, 60))
no("fins", lambda: fins(12, 20, 16))
no("spiral stair", lambda: stepped_spiral(8, 30, 12), sound=None)
no("nut without a thread", lambda: nut_blank(15, 8.5, 12))
no("washers", lambda: join(*[broken.moved(turned([(10, 0), (16, 0), (16, 1.5), (10, 1.5)]), (0, 0, 2.5 * k)) for k in range(8)]), bodies=8)
no("rod of two ends, rotated", lambda: change.anywhere((stairs([(12, 8), (8, 30), (12, 8)]), []), 8)[0])
