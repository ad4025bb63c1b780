"""Renders pictures of threaded parts that lie on the sheet for the camera, by Blender: blender -b -P sheet.py -- SHEET.png DIR FIRST LAST [WIDTH [rings]]

SHEET.png is the page, A4, as another program draws it. Each number draws its own part, material, ground, light, lens and camera by lot; what is true
is written beside the picture as DIR/NUMBER.json. A second picture, NUMBERb, is taken of the same from the other side. Threads are modelled from the figures of the basic form (ISO 68-1: flanks at 30 degrees, crest P/8,
root P/4), apart from everything else in this project. With rings their crests do not climb: they are no threads, and their pitch is none.

How people take such a picture, written down before any was read: from 20 to 60 degrees over the table, as near as all marks stay in the frame or up to a
fifth farther, the part turned by up to 15 degrees from the arrows and the camera by 10 about its axis; a phone's main camera, 23 to 28 mm on film, or in three
of ten twice its zoom, with distortion of a percent at the corners and a middle that is off by half a percent; blur of 0.6 to 1.2 pixels, noise, JPEG. Half of them take the light from where they
stand, or the flash, as the sheet asks; the others have a window, a lamp, a lit room, or the flash, as it comes.
"""

import json
import math
import random
import sys

import bpy
import numpy as np

PITCHES = [25.4 / n for n in (8, 10, 11, 11.5, 12, 14, 16, 18, 19, 20)] + [1.5, 2.0, 2.5, 3.0]
MATERIALS = {  # colour, metallic, roughness
    "steel": ((0.45, 0.45, 0.46), 1, 0.35), "brass": ((0.75, 0.55, 0.22), 1, 0.3), "chrome": ((0.75, 0.75, 0.77), 1, 0.08),
    "black plastic": ((0.02, 0.02, 0.02), 0, 0.45), "grey plastic": ((0.25, 0.26, 0.28), 0, 0.5), "white plastic": ((0.78, 0.78, 0.75), 0, 0.45),
    "rust": ((0.16, 0.07, 0.03), 0, 0.85),
}


def form(d, pitch, z):
    """The radius of a thread of pitch over its phase z."""
    off = np.abs((z / pitch + 0.5) % 1 - 0.5) * pitch
    return d / 2 - np.clip((off - pitch / 16) * math.sqrt(3), 0, 0.541266 * pitch)


def part(lot, level):
    pitch = lot.choice(PITCHES)
    d = lot.uniform(max(14, 8 * pitch), 58)
    length = lot.uniform(max(16, 7 * pitch), min(70, 30 + d))
    hand = 1 if lot.random() < 0.85 else -1
    if level:
        hand = 0
    fine = pitch / 20
    zs = np.arange(0, length + fine / 2, fine)
    around = 240
    theta = np.arange(around) * 2 * math.pi / around
    z, t = np.meshgrid(zs, theta, indexing="ij")
    r = form(d, pitch, z - hand * pitch * t / (2 * math.pi))
    chamfer = d / 2 - 0.55 * pitch
    r = np.minimum(r, np.minimum(chamfer + z, chamfer + (length - z)))
    neck = 0
    if lot.random() < 0.4:  # a smooth, thinner tail at one end
        neck = lot.uniform(5, 20)
        tail = np.arange(0, neck, 1.0) + length + 0.01
        z2, t2 = np.meshgrid(tail, theta, indexing="ij")
        z, t, r = np.vstack([z, z2]), np.vstack([t, t2]), np.vstack([r, np.full_like(z2, d / 2 - 0.8 * pitch)])
    bore = d / 2 * lot.choice([0, 0.6, 0.75])
    rings = [(z[i], r[i]) for i in range(len(z))]
    ends = [(rings[0][0], np.full(around, max(bore, 0.01))), (rings[-1][0], np.full(around, max(bore, 0.01)))]
    rings = [ends[0]] + rings + [ends[1]]
    verts = np.array([[zz[k] - (length + neck) / 2, rr[k] * math.cos(theta[k]), rr[k] * math.sin(theta[k])] for zz, rr in rings for k in range(around)])
    faces = []
    n = len(rings)
    for i in range(n if bore else n - 1):
        for k in range(around):
            a, b = i * around + k, i * around + (k + 1) % around
            c, e = ((i + 1) % n) * around + k, ((i + 1) % n) * around + (k + 1) % around
            faces.append((a, b, e, c))
    mesh = bpy.data.meshes.new("part")
    mesh.from_pydata(verts.tolist(), [], faces)
    mesh.update()
    ob = bpy.data.objects.new("part", mesh)
    bpy.context.collection.objects.link(ob)
    bpy.context.view_layer.objects.active = ob
    ob.select_set(True)
    bpy.ops.object.mode_set(mode="EDIT")
    bpy.ops.mesh.select_all(action="SELECT")
    bpy.ops.mesh.normals_make_consistent(inside=False)
    bpy.ops.object.mode_set(mode="OBJECT")
    return ob, {"diameter_mm": d, "pitch_mm": pitch, "length_mm": length, "hand": hand, "neck_mm": neck}


def paint(name, colour, metallic, rough, image=None):
    m = bpy.data.materials.new(name)
    m.use_nodes = True
    p = m.node_tree.nodes["Principled BSDF"]
    p.inputs["Base Color"].default_value = (*colour, 1)
    p.inputs["Metallic"].default_value = metallic
    p.inputs["Roughness"].default_value = rough
    if image:
        t = m.node_tree.nodes.new("ShaderNodeTexImage")
        t.image = bpy.data.images.load(image)
        scale = m.node_tree.nodes.new("ShaderNodeMixRGB")
        scale.blend_type, scale.inputs[0].default_value, scale.inputs[2].default_value = "MULTIPLY", 1, (*colour, 1)
        m.node_tree.links.new(t.outputs["Color"], scale.inputs[1])
        m.node_tree.links.new(scale.outputs["Color"], p.inputs["Base Color"])
        p.inputs["Specular"].default_value = 0.1
    return m


def plane(wide, high, z, material):
    mesh = bpy.data.meshes.new("plane")
    mesh.from_pydata([(-wide / 2, -high / 2, z), (wide / 2, -high / 2, z), (wide / 2, high / 2, z), (-wide / 2, high / 2, z)], [], [(0, 1, 2, 3)])
    uv = mesh.uv_layers.new()
    for i, c in enumerate([(0, 0), (1, 0), (1, 1), (0, 1)]):
        uv.data[i].uv = c
    ob = bpy.data.objects.new("plane", mesh)
    ob.data.materials.append(material)
    bpy.context.collection.objects.link(ob)


def light(kind, power, place, size, at):
    data = bpy.data.lights.new(kind, kind)
    data.energy = power
    if kind == "AREA":
        data.size = size
    elif kind == "SUN":
        data.angle = size
    else:
        data.shadow_soft_size = size
    ob = bpy.data.objects.new(kind, data)
    ob.location = place
    look(ob, at)
    bpy.context.collection.objects.link(ob)


def look(ob, at, roll=0):
    import mathutils
    d = mathutils.Vector(at) - mathutils.Vector(ob.location)
    ob.rotation_mode = "QUATERNION"
    ob.rotation_quaternion = d.to_track_quat("-Z", "Y") @ mathutils.Quaternion((0, 0, 1), roll)


def nearest(film, aim, away, roll):
    """How near a camera may come for all marks to stay in a frame of 4 by 3, by its own straight arithmetic."""
    import mathutils
    turn = mathutils.Vector(away).to_track_quat("Z", "Y") @ mathutils.Quaternion((0, 0, 1), roll)
    focal = film / 43.2666  # over the diagonal
    for dist in range(100, 2000, 5):
        eye = mathutils.Vector(aim) + dist * mathutils.Vector(away)
        ps = [turn.inverted() @ (mathutils.Vector((x, y, 0)) - eye) for x in (-92, 92) for y in (-121, 121)]
        if all(p.z < 0 and abs(focal * p.x / p.z) < 0.39 and abs(focal * p.y / p.z) < 0.29 for p in ps):
            return dist
    raise ValueError("no place to stand")


def render(sheet, where, number, wide, level, back):
    lot = random.Random(7919 * number + 1)
    bpy.ops.wm.read_factory_settings(use_empty=True)
    scene = bpy.context.scene
    ob, truth = part(lot, level)
    name = lot.choice(list(MATERIALS))
    ob.data.materials.append(paint(name, *MATERIALS[name]))
    turn = math.radians(lot.uniform(-15, 15))
    ob.rotation_euler = (lot.uniform(0, 6), 0, turn)
    ob.location = (lot.uniform(-6, 6), -10 + lot.uniform(-8, 8), truth["diameter_mm"] / 2)
    scale = 1 + lot.uniform(-0.004, 0.004)
    plane(210 * scale, 297 * scale, 0, paint("sheet", (0.82, 0.82, 0.8), 0, 0.9, sheet))
    table = lot.choice([(0.35, 0.2, 0.1), (0.6, 0.6, 0.58), (0.08, 0.08, 0.09), (0.5, 0.45, 0.35)])
    plane(2000, 2000, -0.3, paint("table", table, 0, 0.6))
    world = bpy.data.worlds.new("w")
    scene.world = world
    world.use_nodes = True
    lit = lot.choice(["window", "lamp", "flash", "room"])
    follows = lot.random() < 0.5  # what the sheet asks for: light from where the camera is, or its flash
    if follows:
        lit = "flash" if lot.random() < 0.6 else "lamp"
    world.node_tree.nodes["Background"].inputs[0].default_value = (0.9, 0.95, 1, 1)
    world.node_tree.nodes["Background"].inputs[1].default_value = {"window": 0.35, "lamp": 0.3, "flash": 0.25, "room": 0.9}[lit]

    film = lot.uniform(23, 28) * (2 if lot.random() < 0.3 else 1)
    rise, roll = math.radians(lot.uniform(20, 60)), math.radians(lot.uniform(-10, 10))
    side = math.radians(lot.uniform(-10, 10))
    aim = (lot.uniform(-12, 12), lot.uniform(-45, -20), 0)
    away = (math.cos(rise) * math.sin(side), -math.cos(rise) * math.cos(side), math.sin(rise))
    called = number
    if back:
        other = random.Random(104729 * number + 7)
        rise, roll, side = math.radians(other.uniform(20, 60)), math.radians(other.uniform(-10, 10)), math.radians(other.uniform(-10, 10))
        aim = (other.uniform(-12, 12), other.uniform(20, 45), 0)
        away = (math.cos(rise) * math.sin(side), math.cos(rise) * math.cos(side), math.sin(rise))
        called = f"{number}b"
    dist = nearest(film, aim, away, roll) * lot.uniform(1, 1.2)
    place = tuple(a + dist * b for a, b in zip(aim, away))
    a = math.pi + lot.uniform(-0.6, 0.6) if follows else lot.uniform(-2.5, 2.5)
    if lit == "window":
        light("AREA", 6e6, (900 * math.sin(a), 900 * math.cos(a), 600), 700, (0, 0, 0))
    elif lit == "lamp":
        light("AREA", 2.5e6, (350 * math.sin(a), 350 * math.cos(a), 600), 80, (0, 0, 0))
    elif lit == "flash":
        light("POINT", 1.6e6, (place[0] + 8, place[1], place[2] + 12), 4, aim)
    else:
        light("AREA", 3e6, (300 * math.sin(a), 300 * math.cos(a), 1200), 1200, (0, 0, 0))
    cam = bpy.data.cameras.new("cam")
    margin = 1.06
    high = wide * 3 // 4
    focal = film / 43.2666 * math.hypot(wide, high)
    cam.sensor_width = 36
    cam.lens = focal / (wide * margin) * 36
    cam.clip_end, cam.clip_start = 5000, 1
    eye = bpy.data.objects.new("cam", cam)
    eye.location = place
    look(eye, aim, roll)
    bpy.context.collection.objects.link(eye)
    scene.camera = eye
    scene.render.engine = "CYCLES"
    scene.cycles.samples = 8
    scene.cycles.use_denoising = False
    scene.cycles.max_bounces = 3
    scene.cycles.seed = number
    scene.render.threads_mode, scene.render.threads = "FIXED", 1
    scene.view_settings.view_transform = "Standard"
    scene.render.resolution_x, scene.render.resolution_y = int(wide * margin) // 2 * 2, int(high * margin) // 2 * 2
    scene.render.filepath = f"{where}/{called}.png"
    scene.render.image_settings.color_mode = "RGB"
    bpy.ops.render.render(write_still=True)

    # Lens: distortion, the middle beside the picture's, blur, noise.
    img = bpy.data.images.load(f"{where}/{called}.png")
    img.colorspace_settings.name = "Non-Color"
    w, h = img.size
    px = np.empty(w * h * 4, dtype=np.float32)
    img.pixels.foreach_get(px)
    px = px.reshape(h, w, 4)[::-1, :, :3]
    px = px * min(1.6, 0.8 / max(np.percentile(px, 90), 0.05))  # as a camera's exposure
    rng = np.random.default_rng(number)
    sigma = lot.uniform(0.6, 1.2)
    k = np.exp(-0.5 * (np.arange(-4, 5) / sigma) ** 2)
    k /= k.sum()
    for axis in (0, 1):
        px = sum(c * np.roll(px, i - 4, axis) for i, c in enumerate(k))
    k1, k2 = lot.uniform(-0.05, 0.05), lot.uniform(-0.03, 0.03)
    cx, cy = (wide - 1) / 2 + lot.gauss(0, 0.005) * wide, (high - 1) / 2 + lot.gauss(0, 0.005) * wide
    x, y = np.meshgrid((np.arange(wide) - cx) / focal, (np.arange(high) - cy) / focal)
    a, b = x.copy(), y.copy()
    for _ in range(10):
        r = a * a + b * b
        s = 1 + r * (k1 + r * k2)
        a, b = x / s, y / s
    u, v = a * focal + (w - 1) / 2, b * focal + (h - 1) / 2
    i, j = np.clip(u.astype(int), 0, w - 2), np.clip(v.astype(int), 0, h - 2)
    fu, fv = (u - i)[..., None], (v - j)[..., None]
    out = (px[j, i] * (1 - fu) + px[j, i + 1] * fu) * (1 - fv) + (px[j + 1, i] * (1 - fu) + px[j + 1, i + 1] * fu) * fv
    out = np.clip(out + rng.normal(0, 0.012, out.shape), 0, 1)
    res = bpy.data.images.new("out", wide, high)
    res.colorspace_settings.name = "Non-Color"
    flat = np.ones((high, wide, 4), dtype=np.float32)
    flat[..., :3] = out[::-1]
    res.pixels.foreach_set(flat.ravel())
    scene.render.image_settings.file_format = "JPEG"
    scene.render.image_settings.quality = 90
    scene.view_settings.view_transform = "Standard"
    res.file_format = "JPEG"
    res.filepath_raw = f"{where}/{called}.jpg"
    res.save()
    # By the sheet as printed: a ruler held to its line of 150 mm reads to a quarter of a millimetre.
    truth.update(material=name, light=lit, follows=follows, at=tuple(ob.location), rise_deg=math.degrees(rise), turn_deg=math.degrees(turn), distance_mm=dist, focal_px=focal, cx=cx, cy=cy, k1=k1, k2=k2,
                 line_mm=round(150 * scale * 4) / 4, scale=scale, place=place, wide=wide)
    with open(f"{where}/{called}.json", "w") as f:
        json.dump(truth, f, indent=1)
    import os
    os.remove(f"{where}/{called}.png")


args = sys.argv[sys.argv.index("--") + 1:]
for number in range(int(args[2]), int(args[3])):
    for back in (False, True):
        render(args[0], args[1], number, int(args[4]) if len(args) > 4 else 2048, "rings" in args[5:], back)
