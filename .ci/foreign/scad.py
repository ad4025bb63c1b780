"""Parts of a scripting modeller (openscad): threads as the twisted extrusion of their section, which is written as a list of points."""
import math
import os
import subprocess
import tempfile
from formats import read_mesh


def render(text, path):
    """Has openscad write the part; the ending of path says the format."""
    with tempfile.TemporaryDirectory() as d:
        script = os.path.join(d, "part.scad")
        with open(script, "w") as f:
            f.write(text)
        subprocess.run(["openscad", "-q", "-o", path, script], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def mesh(text):
    with tempfile.TemporaryDirectory() as d:
        render(text, os.path.join(d, "part.stl"))
        return read_mesh(os.path.join(d, "part.stl"))


def written(text, truth):
    """The file as the program writes it."""
    def write(path):
        render(text, path)
        return [truth]
    return write


def section(t, arc, corners=True):
    """The section of a thread across the axis at z = 0: at the angle a the profile stands where the axis has it at z = -lead a / 2 pi.

    arc points go round; with corners, the profile's own come in as well."""
    knots = t.knots(8)
    places = {k / arc for k in range(arc)}
    if corners:
        own = {(s * t.pitch + z) / t.lead % 1 for s in range(t.starts) for z, _ in knots}
        places = {p for p in places if min(abs(p - q) for q in own) > 0.15 / arc} | own
    out = []
    for p in sorted(places):
        z = (-p * t.lead) % t.pitch
        r = t.minor / 2 + height(knots, z)
        a = 2 * math.pi * p
        out.append("[%.6f,%.6f]" % (r * math.cos(a), r * math.sin(a)))
    return "[" + ",".join(out) + "]"


def height(knots, z):
    for (z0, h0), (z1, h1) in zip(knots, knots[1:]):
        if z <= z1:
            return h0 + (h1 - h0) * (z - z0) / (z1 - z0) if z1 > z0 else h1
    return knots[-1][1]


def twisted(t, turns, slices, arc, corners=True, outer=0.0, sides=0):
    """A bar, or with an outer radius a bush: the round or many-sided outside is twisted too, unless it has so many sides as arc."""
    hand = -1 if t.left else 1
    shape = "polygon(%s);" % section(t, arc, corners)
    if t.left:
        shape = "mirror([0,1]) " + shape
    if outer:
        shape = "difference(){circle(r=%g,$fn=%d);%s}" % (outer, sides or arc, shape)
    h = turns * t.lead
    text = "linear_extrude(height=%.6f,twist=%.6f,slices=%d,convexity=10)%s\n" % (h, -360 * hand * turns, round(turns * slices), shape)
    return text, t.truth((0, 0, 0), (0, 0, 1), (0, 0, 0), (0, 0, h), turns)


def wave(radius, off, lead, turns, slices, arc, left=False):
    """A circle off the middle, twisted: r = off cos a + sqrt(radius^2 - off^2 sin^2 a). The widest and the narrowest place are radius +- off,
    and where ridge and groove are equally wide, a quarter turn on, r is sqrt(radius^2 - off^2). There are no straight flanks."""
    text = "linear_extrude(height=%g,twist=%g,slices=%d,convexity=10)translate([%g,0])circle(r=%g,$fn=%d);\n" % (
        lead * turns, 360 * turns * (1 if left else -1), round(turns * slices), off, radius, arc)
    truth = {
        "side": "external", "point_mm": [0, 0, 0], "direction": [0, 0, 1], "start_mm": [0, 0, 0], "end_mm": [0, 0, lead * turns],
        "lead_mm": lead, "starts": 1, "hand": "left" if left else "right", "taper": 0, "reference_mm": [0, 0, 0], "major_mm": 2 * (radius + off),
        "pitch_diameter_mm": 2 * math.sqrt(radius ** 2 - off ** 2), "minor_mm": 2 * (radius - off), "flank_deg": None,
        "turns": turns, "share": 1.0, "standard": "",
    }
    return text, truth
