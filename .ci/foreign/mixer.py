"""Parts that went through a sculpting modeller (blender): faces thinned out, sculpted to voxels, joined to other bodies, or a profile
turned along a screw."""
import os
import subprocess
import tempfile
from cases import *
from formats import stl

SCRIPT = """
import bpy, math
bpy.ops.wm.read_factory_settings(use_empty=True)
def load(path):
    bpy.ops.import_mesh.stl(filepath=path)
    o = bpy.context.selected_objects[0]
    bpy.context.view_layer.objects.active = o
    return o
def apply(o, kind, **what):
    m = o.modifiers.new("m", kind)
    for k, v in what.items():
        setattr(m, k, v)
    bpy.ops.object.modifier_apply(modifier="m")
def polyline(points):
    m = bpy.data.meshes.new("profile")
    m.from_pydata(points, [(i, i + 1) for i in range(len(points) - 1)], [])
    o = bpy.data.objects.new("profile", m)
    bpy.context.collection.objects.link(o)
    bpy.context.view_layer.objects.active = o
    o.select_set(True)
    return o
%s
%s
"""
EXPORT = {
    "stl": "bpy.ops.export_mesh.stl(filepath=%r)",
    "obj": "bpy.ops.export_scene.obj(filepath=%r, use_materials=False)",  # turns the part: y up, -z ahead
    "ply": "bpy.ops.export_mesh.ply(filepath=%r, use_normals=True)",
}
Y_UP = np.array([[1.0, 0, 0], [0, 0, 1], [0, -1, 0]])


def through(part, steps, format):
    """steps are lines of the modeller's script about the object o; part may be a function that makes one."""
    def write(path):
        with tempfile.TemporaryDirectory() as d:
            m, truths = part()
            load = ""
            if m is not None:
                stl(m, d + "/in.stl")
                load = "o = load(%r)" % (d + "/in.stl")
            with open(d + "/part.py", "w") as f:
                f.write(SCRIPT % (load + "\n" + steps, EXPORT[format] % path))
            subprocess.run(["blender", "-b", "--factory-startup", "-P", d + "/part.py"], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=dict(os.environ, OMP_NUM_THREADS="1"))
        if format == "obj":
            truths = change.place((Mesh0, truths), Y_UP)[1]
        return truths
    return write


Mesh0 = broken.Mesh([], [])
thin = "apply(o, 'DECIMATE', ratio=%g)"
voxels = "apply(o, 'REMESH', mode='VOXEL', voxel_size=%g)"
B = lambda t, n=64, head=0.0: (lambda: bolt(t, 7 * t.pitch, n, head, between=2))
N = lambda t, n=64: (lambda: nut(t, 7 * t.pitch, t.major * 0.75, n, between=2))
for t, n, ratio, fmt in [(M20, 64, 0.5, "stl"), (M20, 96, 0.2, "ply"), (SHOE, 120, 0.3, "stl"), (G1, 64, 0.25, "obj"), (TR20, 64, 0.15, "stl"), (M30, 200, 0.1, "stl")]:
    case("decimated", "blender", fmt, None, write=through(B(t, n, t.major * 0.75), thin % ratio, fmt), sound=None, facets=round(n * ratio), ratio=ratio)
for t, n, ratio in [(M20, 64, 0.5), (G1, 96, 0.2)]:
    case("decimated-nut", "blender", "stl", None, write=through(N(t, n), thin % ratio, "stl"), sound=None, facets=round(n * ratio), ratio=ratio)
for t, cell, fmt in [(M20, 0.25, "stl"), (TR20, 0.3, "obj"), (G1, 0.35, "stl"), (M20.but(left=True, standard=""), 0.4, "ply")]:
    case("voxels", "blender", fmt, None, write=through(B(t, 72), voxels % cell, fmt), sound=None, facets=round(3.14 * t.major / cell), cell=cell)
case("voxels", "blender", "stl", None, write=through(N(M20, 72), voxels % 0.25, "stl"), sound=None, facets=250, cell=0.25)
case("voxels", "blender", "stl", None, write=through(B(M20, 96), voxels % 0.15 + "\n" + thin % 0.15, "stl"), sound=None, facets=60, cell=0.15)
# A box joined to the part off its middle; two bolts in one plate; a bore cut into a block.
joint = "bpy.ops.mesh.primitive_cube_add(size=1, location=(%g, %g, %g), scale=(%g, %g, %g))\nb = bpy.context.object\nbpy.context.view_layer.objects.active = o\napply(o, 'BOOLEAN', object=b, operation=%r, solver='EXACT')\nbpy.data.objects.remove(b)\no.select_set(True)"
case("joined", "blender", "stl", None, write=through(B(M20, 48), joint % (10, 3, 0, 60, 40, 5, "UNION"), "stl"), sound=None, facets=48)
case("joined", "blender", "stl", None, write=through(lambda: beside(bolt(M20, 18, 48), change.place(bolt(M12, 14, 48), shift=(40, 0, 0))), joint % (20, 0, 0, 80, 30, 5, "UNION"), "stl"), sound=None, facets=48)
case("joined", "blender", "obj", None, write=through(lambda: beside(bolt(G1, 18, 60), change.place(bolt(M30, 18, 60), change.rotation((1, 0, 0), 180))), joint % (0, 0, 0, 60, 60, 6, "UNION"), "obj"), sound=None, facets=60)


def screw(t, turns, steps, format):
    """One pitch of the profile turned along the screw, an open skin without ends; the modeller welds what meets."""
    points = [[t.minor / 2 + h, 0.0, s * t.pitch + z] for s in range(t.starts) for z, h in t.knots(5)[1 if s else 0:]]
    script = "o = polyline(%r)\napply(o, 'SCREW', axis='Z', angle=%.9f, screw_offset=%.9f, steps=%d, render_steps=%d, iterations=%d, use_merge_vertices=True, merge_threshold=1e-4, use_normal_calculate=True)" % (
        points, 6.283185307179586 * (-1 if t.left else 1), t.lead, steps, steps, turns)
    truths = [t.truth((0, 0, 0), (0, 0, 1), (0, 0, 0), (0, 0, (turns + 1) * t.lead), turns)]
    return through(lambda: (None, truths), script, format)


for t, turns, steps, fmt in [(M20, 6, 36, "stl"), (G1, 5, 48, "ply"), (TR20.but(left=True, standard=""), 5, 32, "obj"), (M30.but(starts=2, standard=""), 4, 64, "stl")]:
    case("screw", "blender", fmt, None, write=screw(t, turns, steps, fmt), sound=False, fault="open", facets=steps)
