"""Boundary models of gmsh's OpenCASCADE kernel: a section swept along a helix, fused to a core or cut from a block, then meshed.

Run by itself it takes a shape as JSON on the command line and writes it as BREP, or meshed by gmsh; tessellate has OpenCASCADE's own
command program mesh a BREP with a bound on the chord."""
import json
import math
import os
import subprocess
import sys
import tempfile

PER_TURN = 24  # control points of the spline that leads the section round; it runs a little within the helix, which the section does not


def helix(o, r, lead, turns, z, phase, left):
    hand = -1 if left else 1
    points = []
    for i in range(round(turns * PER_TURN) + 1):
        a = hand * (2 * math.pi * i / PER_TURN + phase)
        points.append(o.addPoint(r * math.cos(a), r * math.sin(a), z + lead * i / PER_TURN))
    return o.addWire([o.addBSpline(points)])


def ridges(o, s):
    """The ridges of a thread (external) or of its void (internal): from the root, sunk a little into the core, to the crest."""
    r, sink, out = s["minor"] / 2, s["sink"], []
    hand = -1 if s["left"] else 1
    for k in range(s["starts"]):
        phase = 2 * math.pi * k / s["starts"]
        knots = s["knots"][1:]
        line = [(r - sink, knots[0][0])] + [(r + h, z) for z, h in knots] + [(r - sink, knots[-1][0])]
        c, d = math.cos(hand * phase), math.sin(hand * phase)
        corners = [o.addPoint(q * c, q * d, s["z"] + z) for q, z in line]
        loop = o.addCurveLoop([o.addLine(a, b) for a, b in zip(corners, corners[1:] + corners[:1])])
        out += o.addPipe([(2, o.addPlaneSurface([loop]))], helix(o, r, s["lead"], s["turns"], s["z"], phase, s["left"]), "Frenet")
    return out


def build(o, s):
    length = s["turns"] * s["lead"] + s["pitch"] + 2 * s["z"]
    core = o.addCylinder(0, 0, 0, 0, 0, length, s["minor"] / 2)
    if s["internal"]:
        if s["outside"] == "block":
            block = o.addBox(-s["outer"] * 0.7, -s["outer"] * 0.8, 0, 2.2 * s["outer"], 1.6 * s["outer"], length)
        else:
            block = o.addCylinder(0, 0, 0, 0, 0, length, s["outer"])
        void, _ = o.fuse([(3, core)], ridges(o, s))
        o.cut([(3, block)], void)
        return
    body = [(3, core)]
    if s["outside"] == "plate":
        body, _ = o.fuse(body, [(3, o.addBox(-40, -18, -5, 60, 40, 5))])
    if s["outside"] == "head":
        body, _ = o.fuse(body, [(3, o.addCylinder(0, 0, -6, 0, 0, 6, s["outer"]))])
    body, _ = o.fuse(body, ridges(o, s))
    if s["outside"] == "chamfer":  # what is within a cone at either end
        big = s["minor"] / 2 + length
        low = o.addCone(0, 0, 0, 0, 0, length, s["minor"] / 2 - 0.2, big - 0.2)
        o.intersect(body, [(3, low)])


def shape(t, turns, outside="", outer=0.0, sink=0.3, z=3.0):
    s = dict(minor=t.minor, lead=t.lead, pitch=t.pitch, starts=t.starts, left=t.left, internal=t.internal, turns=turns, z=z, sink=sink,
             outside=outside, outer=outer, knots=t.knots(4))
    # The ridge stands at full height from where its lower edge begins to where its upper one ends.
    return s, [t.truth((0, 0, 0), (0, 0, 1), (0, 0, z), (0, 0, z + turns * t.lead + t.pitch), turns)]


def make(s, path, *mesh):
    """By a process of its own, since gmsh keeps one model for all."""
    subprocess.run(["/usr/bin/python3", os.path.abspath(__file__), json.dumps(s), path, json.dumps(mesh)], check=True)


def tessellate(s, path, chord, degrees, text=False):
    with tempfile.TemporaryDirectory() as d:
        make(s, d + "/part.brep")
        # The command program loads its modules by names that only its developers' package lays.
        for name in os.listdir("/usr/lib/x86_64-linux-gnu"):
            if name.startswith("libTK") and name.endswith(".so.7"):
                os.symlink("/usr/lib/x86_64-linux-gnu/" + name, os.path.join(d, name[:-2]))
        with open(d + "/part.tcl", "w") as f:
            f.write("pload MODELING XSDRAW\nrestore %s/part.brep a\nincmesh a %g -a %g\nwritestl a %s %d\n" % (d, chord, degrees, path, text))
        subprocess.run(["occt-draw-7.6", "-b", "-f", d + "/part.tcl"], check=True, env=dict(os.environ, LD_LIBRARY_PATH=d), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        if not os.path.exists(path):
            raise RuntimeError("no mesh came out")


def main():
    import gmsh
    s, path, mesh = json.loads(sys.argv[1]), sys.argv[2], json.loads(sys.argv[3])
    gmsh.initialize()
    gmsh.option.setNumber("General.Terminal", 0)
    gmsh.option.setNumber("General.NumThreads", 1)
    build(gmsh.model.occ, s)
    gmsh.model.occ.synchronize()
    if len(gmsh.model.getEntities(3)) != 1:
        raise SystemExit("%d solids came out, not one" % len(gmsh.model.getEntities(3)))
    if mesh:
        low, high, turn = mesh
        gmsh.option.setNumber("Mesh.MeshSizeMin", low)
        gmsh.option.setNumber("Mesh.MeshSizeMax", high)
        gmsh.option.setNumber("Mesh.MeshSizeFromCurvature", turn)
        gmsh.model.mesh.generate(2)
    gmsh.write(path)


if __name__ == "__main__":
    main()
