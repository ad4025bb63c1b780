"""Boundary models, tessellated coarse and fine by OpenCASCADE itself and meshed by gmsh."""
import tempfile
import solids
from cases import *
from formats import read_mesh


def tessellated(t, turns, chord, degrees=30, text=False, change_by=None, **more):
    """The file as the program writes it, or changed on its way."""
    s, truths = solids.shape(t, turns, **more)

    def write(path):
        solids.tessellate(s, path, chord, degrees, text)
        return truths
    return write


def meshed(t, turns, low, high, around, **more):
    s, truths = solids.shape(t, turns, **more)

    def write(path):
        solids.make(s, path, low, high, around)
        return truths
    return write


def changed(how, t, turns, chord, degrees=20, **more):
    """Tessellated, then changed by how((mesh, truths))."""
    def make():
        with tempfile.TemporaryDirectory() as d:
            truths = tessellated(t, turns, chord, degrees, **more)(d + "/part.stl")
            return how((read_mesh(d + "/part.stl"), truths))
    return make


I20, I12 = M20.but(internal=True), M12.but(internal=True)
# Degrees bound the turn from facet to facet: 360 by them go round at least.
for t, turns, chord, degrees, more in [
        (M20, 5, 0.5, 30, {}), (M20, 5, 0.1, 20, dict(outside="head", outer=15)), (M20, 5, 0.03, 12, {}), (M20, 5, 0.01, 6, dict(outside="chamfer")),
        (M12, 6, 0.05, 14, dict(outside="plate")), (TR20, 4, 0.05, 12, {}), (TR20.but(left=True, standard=""), 4, 0.02, 10, {}),
        (trapezoid(30, 6), 3, 0.1, 8, {}), (M12.but(left=True, standard=""), 6, 0.03, 10, dict(outside="head", outer=9))]:
    case("brep", "opencascade", "stl", None, write=tessellated(t, turns, chord, degrees, **more), sound=None, facets=int(360 / degrees), chord=chord)
for t, turns, chord, degrees, more in [(I20, 5, 0.2, 20, dict(outer=16)), (I20, 5, 0.02, 8, dict(outer=16)), (I12, 6, 0.05, 14, dict(outside="block", outer=12)),
                                       (I20.but(left=True, standard=""), 5, 0.05, 12, dict(outer=16))]:
    case("brep-nut", "opencascade", "stl", None, write=tessellated(t, turns, chord, degrees, text=t.major < 15, **more), sound=None, facets=int(360 / degrees), chord=chord)
for t, turns, low, high, around, more in [(M20, 5, 0.2, 0.8, 30, {}), (TR20, 4, 0.3, 1.5, 40, dict(outside="plate")), (I20, 5, 0.3, 1, 40, dict(outer=16)), (M12, 6, 0.15, 0.5, 60, {})]:
    case("brep-gmsh", "gmsh", "stl", None, write=meshed(t, turns, low, high, around, **more), sound=None, facets=around)
case("brep", "opencascade", "ply", changed(lambda p: change.anywhere(p, 70), M20, 5, 0.05), sound=None, facets=18)
case("brep", "opencascade", "obj-normals", changed(lambda p: change.anywhere(p, 71), M12, 6, 0.02, 8, outside="plate"), sound=None, facets=45)
case("brep", "opencascade", "3mf", changed(lambda p: p, TR20, 4, 0.02, 8), sound=None, facets=45)
