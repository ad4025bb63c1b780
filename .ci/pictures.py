#!/usr/bin/env python3
"""Pictures of threads, and of what is no thread, rendered by POV-Ray from parts that are modelled here from the standards' figures.

    .ci/pictures.py FOLDER SEED FROM TO [--nothing] [--width 1360]

writes FOLDER/SEED-NNN.jpg and a line for each in FOLDER/SEED.jsonl with what is true of it; what is there already is kept. With
--nothing there is no thread on any picture. It needs povray, python3-numpy and python3-pil, and knows nothing of tryring.

How people take pictures (written down before any was read; judgement, no published source):
- the part: 8 to 32 to the inch (UN/M form 60 degrees, Whitworth 55, taper pipe 1 in 16), 12 to 75 mm across, 6 to 30 pitches long; 15 % left
  hand, 6 % two starts; crests worn in 3 of 10; half with a flange, hexagon, collar or shank in view;
- stuff: chrome, brass, white plastic, black plastic, rust, steel alike often;
- it lies on a table and is looked at from above (3 of 5), or stands and is looked at from the side; ground of paper (one in seven
  squared), wood, towel, tile, clutter; behind what stands a wall, a window with its bars, or shelves; one in ten is held by fingers;
- light: a window aside, a lamp, the flash, a bright room, each a quarter; the flash stands 12 to 25 mm beside the lens;
- the axis leans toward the camera or away by a normal deviation of 3.5 degrees, 10 at most; the picture is turned by 6 degrees, a
  third of them any way; the part is off the middle by a tenth of the frame; its thread takes 40 to 90 % of it;
- phones of 24 to 28 mm focal length (35 mm film) in 7 of 10, else 48 to 77; nearer than 110 mm nobody focuses; radial distortion up to
  1.5 % at the corner;
- seven of ten files keep what the camera wrote (focal length, size), the others nothing (sent by messenger); one in six is cropped, a
  quarter of these to the camera's own aspect, half keeping the size that the camera wrote; one in eight is shrunk;
- blur 0.5 to 1.5 pixels, sharpened by the phone in half, noise of 1 to 5 levels, JPEG quality 70 to 95;
- the caliper reads the diameter over the crests within 0.03 mm (one standard deviation), told as such; one in six tells the distance,
  within 5 %.
"""
import io, json, math, os, random, subprocess, sys, tempfile
import numpy as np
from PIL import Image, ImageFilter

MATERIALS = ["chrome", "brass", "white plastic", "black plastic", "rust", "steel"]
GROUNDS = ["paper", "wood", "towel", "tile", "clutter"]
LIGHTS = ["window", "lamp", "flash", "room"]
NOTHING = ["comb", "radiator", "stair", "knurl", "washers", "fabric", "spring", "hose", "rope", "barbs", "books", "rack"]
FILM = math.hypot(36, 24)


def form(kind, wear):
    """Depth under the major diameter over one pitch, in pitches, crest at 0. UN and M: ASME B1.1-2003 fig. 1, ISO 68-1 (H = 0.866025 P, crest flat
    P/8, root arc 0.144338 P, depth 0.613435 P). Whitworth: ISO 228-1 (H = 0.960491 P, r = 0.137329 P, depth 0.640327 P). Taper pipe:
    ASME B1.20.1 (60 degrees, crest and root cut by 0.033 P)."""
    half, cut, root, depth = {"60": (30, 0.866025 / 8, 0.144338, 0.613435), "55": (27.5, 0.960491 / 6, 0.137329, 0.640327), "pipe": (30, 0.033, 0, 0.8)}[kind]
    a = math.radians(half)
    x = np.abs(np.linspace(-0.5, 0.5, 401)[:-1])
    h = 0.5 / math.tan(a)
    y = x / math.tan(a)
    if kind == "55":
        r = 0.137329
        arc = r / math.sin(a) - np.sqrt(np.maximum(r * r - x * x, 0))
        y = np.where(x < r * math.cos(a), arc, y)
    if root:
        u = 0.5 - x
        arc = h - root / math.sin(a) + np.sqrt(np.maximum(root * root - u * u, 0))
        y = np.where(u < root * math.cos(a), arc, y)
    y = np.clip(y - cut, max(wear, 0), depth)
    return np.roll(y, 200)  # index 0 is the crest


def revolve(radius, z0, z1, step, columns=200, pitch=0, hand=1):
    """A mesh of radius(theta, z) as corners and normals; rows run along the helix of pitch, clamped to z0..z1."""
    rows = int(math.ceil((z1 - z0 + 2 * abs(pitch)) / step)) + 1
    theta = np.linspace(0, 2 * math.pi, columns + 1)
    base = z0 - abs(pitch) + step * np.arange(rows)
    z = np.clip(base[None, :] + hand * pitch * theta[:, None] / (2 * math.pi), z0, z1)
    t = np.repeat(theta[:, None], rows, 1)
    r = radius(t, z)
    e = 1e-3
    rt = (radius(t + e, z) - radius(t - e, z)) / (2 * e)
    rz = (radius(t, z + e) - radius(t, z - e)) / (2 * e)
    c, s = np.cos(t), np.sin(t)
    points = np.stack([r * c, r * s, z], -1)
    normals = np.stack([c + rt / r * s, s - rt / r * c, -rz], -1)
    normals /= np.linalg.norm(normals, axis=-1, keepdims=True)
    return points, normals


def mesh2(points, normals, texture):
    n, m, _ = points.shape
    at = np.arange(n * m).reshape(n, m)
    a, b, c, d = at[:-1, :-1].ravel(), at[1:, :-1].ravel(), at[1:, 1:].ravel(), at[:-1, 1:].ravel()
    faces = np.concatenate([np.stack([a, b, c], 1), np.stack([a, c, d], 1)])
    p = points.reshape(-1, 3)
    q = p[faces]
    faces = faces[np.linalg.norm(np.cross(q[:, 1] - q[:, 0], q[:, 2] - q[:, 0]), axis=1) > 1e-9]
    vec = lambda v: ",".join("<%.4f,%.4f,%.4f>" % tuple(x) for x in v)
    return "mesh2{vertex_vectors{%d,%s} normal_vectors{%d,%s} face_indices{%d,%s} %s}\n" % (
        len(p), vec(p), len(p), vec(normals.reshape(-1, 3)), len(faces), ",".join("<%d,%d,%d>" % tuple(f) for f in faces), texture)


def thread_of(r):
    t = dict(tpi=r.choice([8, 9, 10, 11, 11, 11.5, 11.5, 12, 13, 14, 14, 16, 16, 18, 18, 19, 20, 24, 27, 28, 32]))
    p = t["pitch"] = 25.4 / t["tpi"]
    t["form"] = r.choice(["60", "60", "60", "55"])
    if t["tpi"] in (8, 11.5, 14, 18, 27) and r.random() < 0.3:
        t["form"] = "pipe"
    t["taper"] = 1 / 16 if t["form"] == "pipe" or t["tpi"] in (11, 14, 19, 28) and t["form"] == "55" and r.random() < 0.3 else 0
    t["major"] = math.exp(r.uniform(math.log(max(12, 6 * p)), math.log(min(75, 60 * p))))
    t["length"] = min(r.uniform(6, 30) * p, max(1.6 * t["major"], 7 * p))
    t["hand"] = -1 if r.random() < 0.15 else 1
    t["starts"] = 2 if r.random() < 0.06 else 1
    t["wear"] = r.uniform(0.01, 0.06) if r.random() < 0.3 else 0
    t["head"] = r.choice(["none", "none", "none", "flange", "hexagon", "collar", "shank"])
    return t


def thread_scene(t, r, texture):
    p, d, length = t["pitch"], t["major"], t["length"]
    depth, lead = form(t["form"], t["wear"]), p * t["starts"]
    chamfer = r.uniform(0.2, 1.2) * p
    rough = 0.012 * p if t["material"] == "rust" else 0
    bumps = [(r.uniform(2, 9), r.uniform(0.5, 3), r.uniform(0, 6)) for _ in range(8)]

    def radius(theta, z):
        x = (z / p - t["hand"] * t["starts"] * theta / (2 * math.pi)) % 1.0
        drop = np.interp(x, np.linspace(0, 1, 401), np.append(depth, depth[0])) * p
        top = d / 2 - t["taper"] * z / 2
        out = top - drop
        out = np.minimum(out, top - (chamfer - (length - z)) * 0.8)
        for k, w, f in bumps if rough else []:
            out = out + rough * np.sin(k * theta * 3 + w / p * z + f)
        return out

    out = mesh2(*revolve(radius, 0, length, p / 16, 160, lead, t["hand"]), texture)
    tip = d / 2 - t["taper"] * length / 2 - chamfer * 0.8
    out += "disc{<0,0,%.4f>,z,%.4f %s}\n" % (length - 0.001, tip, texture)
    t["worn_mm"] = t["wear"] * p
    head, low = t["head"], 0.0
    if head == "flange":
        low, across = -r.uniform(2.5, 7), d * r.uniform(1.2, 1.6)
        out += "cylinder{<0,0,%.3f>,<0,0,0>,%.3f %s}\n" % (low, across / 2, texture)
    elif head == "hexagon":
        low, across = -d * r.uniform(0.25, 0.6), d * r.uniform(1.25, 1.5)
        out += "intersection{%s plane{z,0} plane{-z,%.3f} %s}\n" % (
            "".join("plane{<%.5f,%.5f,0>,%.4f}" % (math.cos(k * math.pi / 3 + 0.3), math.sin(k * math.pi / 3 + 0.3), across / 2) for k in range(6)), -low, texture)
        across *= 1.1547
    elif head in ("collar", "shank"):
        low, across = -r.uniform(0.3, 1.0) * d, d * (r.uniform(1.05, 1.2) if head == "collar" else r.uniform(0.8, 0.9))
        out += "cylinder{<0,0,%.3f>,<0,0,0>,%.3f %s}\n" % (low, across / 2, texture)
    else:
        across = d
        out += "disc{<0,0,0.001>,-z,%.4f %s}\n" % (d / 2 * 0.9, texture)
    return out, low, length, max(across, d) / 2, d


def nothing_scene(t, r, texture):
    kind, p, n = t["kind"], r.uniform(1.2, 5), r.randint(8, 26)
    d, length = r.uniform(6, 14) * p, n * p
    box = lambda a, b: "box{<%.3f,%.3f,%.3f>,<%.3f,%.3f,%.3f> %s}\n" % (*a, *b, texture)
    cyl = lambda a, b, q: "cylinder{<%.3f,%.3f,%.3f>,<%.3f,%.3f,%.3f>,%.3f %s}\n" % (*a, *b, q, texture)
    out, h = "", d / 2
    around = lambda f, pitch=0, hand=1, step=None: mesh2(*revolve(f, 0, length, step or p / 20, 220, pitch, hand), texture) + "disc{<0,0,%.3f>,z,%.3f %s}\n" % (length - 0.001, 0.8 * h, texture)
    if kind == "comb":
        both = r.random() < 0.4
        out += box((-1, -h * 0.2, 0), (1, h * 0.2, length))
        q = p * r.uniform(0.5, 0.7)
        for k in range(int(length / q)):
            out += box((-0.8, 0, k * q), (0.8, h, k * q + q / 2)) + (box((-0.8, -h, k * p), (0.8, 0, k * p + p / 2)) if both and k < n else "")
    elif kind == "radiator":
        for k in range(n):
            out += box((-h / 3, -h, k * p), (h / 3, h, k * p + p * 0.35))
        out += box((-h / 3, -h * 0.8, 0), (-h / 4, h * 0.8, length))
    elif kind == "stair":
        for k in range(n):
            out += box((-h, -h, k * p), (h, h - k * p, k * p + p))
    elif kind == "knurl":
        c = round(math.pi * d / p)
        out += around(lambda a, z: h - 0.2 * p * np.maximum(np.abs(np.sin(c * a / 2 + math.pi * z / p)), np.abs(np.sin(c * a / 2 - math.pi * z / p))))
    elif kind == "washers":
        for k in range(n):
            x, y = r.gauss(0, 0.03 * d), r.gauss(0, 0.03 * d)
            out += cyl((x, y, k * p), (x, y, k * p + p * 0.92), h * r.uniform(0.97, 1.02))
    elif kind == "fabric":
        for k in range(n * 2):
            out += "".join("sphere{<%.3f,%.3f,%.3f>,%.3f %s}\n" % (-h + 0.6, -h + (j + 0.5 * (k % 2)) * p, k * p / 2, p * 0.45, texture) for j in range(int(d / p)))
    elif kind == "spring":
        wire = p * r.uniform(0.25, 0.4)
        for k in range(n * 40):
            a, b = 2 * math.pi * k / 40, 2 * math.pi * (k + 1) / 40
            out += cyl((h * math.cos(a), h * math.sin(a), k * p / 40), (h * math.cos(b), h * math.sin(b), (k + 1) * p / 40), wire)
    elif kind == "hose":
        out += around(lambda a, z: h - 0.25 * p * (1 - np.cos(2 * math.pi * z / p)) / 2 * 1.6)
    elif kind == "rope":
        turn = r.uniform(0.8, 1.4) * d * 3
        out += around(lambda a, z: h * (0.82 + 0.18 * np.abs(np.cos(1.5 * (a - 2 * math.pi * z / turn)))), turn, 1, turn / 200)
    elif kind == "barbs":
        out += around(lambda a, z: h - 0.45 * p * ((z / p) % 1.0))
    elif kind == "books":
        z = 0
        while z < length:
            q = p * r.uniform(0.6, 1.5)
            out += box((-h, -h * r.uniform(0.9, 1.05), z), (h, h * r.uniform(0.9, 1.05), z + q * 0.95))
            z += q
    elif kind == "rack":
        out += box((-h / 2, -h * 0.6, 0), (h / 2, h * 0.6, length))
        for k in range(n):
            out += "prism{linear_sweep linear_spline %.3f,%.3f,5,<0,0>,<%.3f,%.3f>,<%.3f,%.3f>,<0,%.3f>,<0,0> matrix<0,1,0,1,0,0,0,0,1,0,%.3f,%.3f> %s}\n" % (
                -h / 2, h / 2, p * 0.6, p * 0.25, p * 0.6, p * 0.6, p * 0.85, h * 0.6, k * p, texture)
    t["pitch"], t["major"], t["length"], t["tpi"], t["wear"] = p, d, length, 25.4 / p, 0
    return out, 0.0, length, h, d


def texture_of(material, r):
    bump = lambda a, s: "normal{bumps %.2f scale %.2f}" % (a, s)
    g = r.uniform(0.85, 1)
    return "texture{%s}" % {
        "chrome": "pigment{rgb %.2f} finish{ambient .05 diffuse .25 specular .8 roughness .003 reflection{.65} metallic}" % (0.75 * g),
        "steel": "pigment{rgb <.56,.57,.6>*%.2f} %s finish{ambient .08 diffuse .5 specular .5 roughness .02 reflection{.22} metallic}" % (g, bump(0.05, 0.4)),
        "brass": "pigment{rgb <.78,.57,.24>*%.2f} finish{ambient .08 diffuse .45 specular .6 roughness .01 reflection{.3} metallic}" % g,
        "white plastic": "pigment{rgb <.93,.93,.9>*%.2f} finish{ambient .15 diffuse .8 specular .25 roughness .03}" % g,
        "black plastic": "pigment{rgb <.045,.045,.05>*%.2f} finish{ambient .1 diffuse .7 specular .35 roughness .04}" % g,
        "rust": "pigment{bozo color_map{[0 rgb<.33,.16,.07>][.5 rgb<.45,.24,.1>][.8 rgb<.25,.13,.08>][1 rgb<.5,.4,.33>]} scale 2.5} %s finish{ambient .1 diffuse .7 specular .08 roughness .1}" % bump(0.5, 0.3),
    }[material]


def ground_of(kind, r):
    c = [r.uniform(0.3, 0.9) for _ in range(3)]
    turn = "rotate z*%.1f" % r.uniform(0, 180)  # the table's own frame: z is its normal
    if kind in ("paper", "clutter"):
        g = r.uniform(0.82, 0.97)
        if kind == "paper" and r.random() < 0.15:
            return "texture{pigment{gradient x color_map{[0 rgb <.5,.6,.8>][.05 rgb <.5,.6,.8>][.06 rgb %.2f][1 rgb %.2f]} scale 5 %s}}" % (g, g, turn)
        return "texture{pigment{granite color_map{[0 rgb %.3f][1 rgb %.3f]} scale 30} finish{ambient .15 diffuse .8}}" % (g, g - 0.03)
    if kind == "wood":
        a, b = r.uniform(0.35, 0.75), r.uniform(0.15, 0.35)
        return ("texture{pigment{wood turbulence .06 color_map{[0 rgb<%.2f,%.2f,%.2f>][.7 rgb<%.2f,%.2f,%.2f>][1 rgb<%.2f,%.2f,%.2f>]} scale <%.1f,1,1>*%.1f rotate x*88 %s translate <31,17,5>} finish{ambient .15 diffuse .75 specular .1}}"
                % (a, a * 0.72, a * 0.45, a * 0.85, a * 0.58, a * 0.36, b, b * 0.65, b * 0.4, 1, r.uniform(4, 12), turn))
    if kind == "towel":
        return "texture{pigment{bozo color_map{[0 rgb<%.2f,%.2f,%.2f>][1 rgb<%.2f,%.2f,%.2f>]} scale 1.2} normal{bumps 1.3 scale %.2f} finish{ambient .15 diffuse .8}}" % (
            *c, *(v * 0.7 for v in c), r.uniform(0.8, 2))
    g, size = r.uniform(0.5, 0.95), r.uniform(30, 110)
    return ("texture{pigment{brick rgb %.2f, rgb <%.2f,%.2f,%.2f> brick_size <%.1f,%.1f,1000> mortar %.1f %s translate <%.1f,%.1f,400>} finish{ambient .15 diffuse .7 specular .3 roughness .01 reflection{.03}}}"
            % (r.uniform(0.3, 0.8), g, g * r.uniform(0.85, 1), g * r.uniform(0.8, 1), size, size, r.uniform(1.5, 4), turn, r.uniform(0, 99), r.uniform(0, 99)))


def clutter(r, where, n):
    out = ""
    for _ in range(n):
        c = "pigment{rgb<%.2f,%.2f,%.2f>} finish{ambient .12 diffuse .7 specular .2}" % tuple(r.uniform(0.05, 0.9) for _ in range(3))
        a, s = where(), r.uniform(4, 30)
        out += r.choice([
            "box{<0,0,0>,<%.1f,%.1f,%.1f> rotate z*%.0f translate <%.1f,%.1f,%.1f> %s}" % (s, r.uniform(5, 90), r.uniform(1, 25), r.uniform(0, 180), *a, c),
            "cylinder{<0,0,0>,<0,0,%.1f>,%.1f translate <%.1f,%.1f,%.1f> %s}" % (r.uniform(1, 20), s / 2, *a, c),
            "cylinder{<0,%.1f,%.1f>,<%.1f,0,%.1f>,%.1f translate <%.1f,%.1f,%.1f> %s}" % (r.uniform(-60, 60), s / 3, r.uniform(-60, 60), s / 3, s / 3, *a, c)]) + "\n"
    return out


def frame_of(m):
    """Two directions square to m."""
    a = np.array([0, 0, 1.0]) if abs(m[2]) < 0.9 else np.array([1.0, 0, 0])
    u = np.cross(a, m)
    u /= np.linalg.norm(u)
    return u, np.cross(m, u)


def scene_of(seed, n, nothing, width):
    r = random.Random(f"{seed}/{n}/{nothing}")
    t = dict(seed=seed, n=n, material=r.choice(MATERIALS), ground=r.choice(GROUNDS), light=r.choice(LIGHTS), standing=r.random() < 0.4, nothing=nothing)
    if nothing:
        t["kind"] = NOTHING[n % len(NOTHING)]
    else:
        t.update(thread_of(r))
    texture = texture_of(t["material"], r)
    part, low, high, reach, across = (nothing_scene if nothing else thread_scene)(t, r, texture)
    if t.get("kind") == "fabric":
        t["standing"] = False
    height = int(width * 3 / 4)
    f35 = r.choice([24, 24, 26, 26, 26, 27, 28, 48, 52, 77])
    focal = f35 / FILM * math.hypot(width, height)
    lean = math.radians(max(-10, min(10, r.gauss(0, 3.5))))
    turn = math.radians(r.uniform(0, 360) if r.random() < 0.33 else r.gauss(0, 6) + r.choice([0, 90, 180]))
    fill = r.uniform(0.4, 0.9)
    # The thread fills the frame; of a head only what is there beside it is seen.
    show = min(-low, 0.5 * (high)) if low < 0 else 0
    wide, long = across, high + show
    c, s = abs(math.cos(turn)), abs(math.sin(turn))
    distance = max(focal / (fill * min(width / (wide * c + long * s), height / (wide * s + long * c))), 110 + reach)
    n_ = np.array([1.0, 0, 0])
    axis = np.array([0, 0, 1.0])
    toward = math.cos(lean) * n_ + math.sin(lean) * axis
    middle = np.array([0, 0, (high - show) / 2])
    eye = middle + distance * toward
    forward = -toward
    right0 = np.cross(forward, axis)
    right0 /= np.linalg.norm(right0)
    up0 = np.cross(right0, forward)
    right = math.cos(turn) * right0 + math.sin(turn) * up0
    up = -math.sin(turn) * right0 + math.cos(turn) * up0
    # Off the middle: the camera moves aside, still looking the same way.
    eye = eye + right * r.uniform(-0.1, 0.1) * distance * width / focal * 0.7 + up * r.uniform(-0.1, 0.1) * distance * height / focal * 0.7
    vec = lambda v: "<%.6f,%.6f,%.6f>" % tuple(v)
    out = "#version 3.7; global_settings{assumed_gamma 1.0 max_trace_level 3}\n"
    out += "camera{perspective location %s direction %s right %s up %s}\n" % (vec(eye), vec(forward * focal / width), vec(right), vec(up * height / width))
    if t["standing"]:
        m, foot = axis, axis * (low - 0.01)
    else:
        e = math.radians(r.uniform(-60, 60))
        m = np.array([math.cos(e), math.sin(e), 0])
        foot = -m * reach
    u, v = frame_of(m)
    place = "matrix<%.6f,%.6f,%.6f,%.6f,%.6f,%.6f,%.6f,%.6f,%.6f,%.4f,%.4f,%.4f>" % (*u, *v, *m, *foot)
    table = ground_of(t["ground"], r)
    if t.get("kind") != "fabric" or True:
        out += "union{plane{z,0 %s}\n" % table
        if t["ground"] == "clutter":
            span = 3.2 * distance * width / focal / 2

            def spot():
                while True:
                    a, b = r.uniform(-span, span), r.uniform(-span, span)
                    w = foot + a * u + b * v
                    off = math.hypot(w[0], w[1]) if t["standing"] else abs(np.dot(w - foot, np.cross(m, axis)))
                    near = w[2] > low - 20 and w[2] < high + 20
                    if off > reach * 1.15 + 32 or not t["standing"] and not near:
                        return a, b, 0.0
            out += clutter(r, spot, 14)
        out += place + "}\n"
    back = ""
    if t["standing"]:
        behind = r.uniform(250, 1200)
        back = t["behind"] = r.choice(["wall", "window", "shelves"])
        wall = "translate <%.1f,0,0>" % -behind
        if back == "window":
            g = r.uniform(1.0, 1.6)
            out += "plane{x,0 texture{pigment{brick rgb .25, rgb <%.2f,%.2f,%.2f> brick_size <2000,%.0f,%.0f> mortar %.0f translate<-500,%.0f,%.0f>} finish{ambient 1 diffuse 0}} %s}\n" % (
                g, g, g, r.uniform(200, 500), r.uniform(300, 600), r.uniform(15, 40), r.uniform(0, 400), r.uniform(0, 400), wall)
        else:
            g = r.uniform(0.4, 0.95)
            out += "plane{x,0 pigment{rgb<%.2f,%.2f,%.2f>} finish{ambient .2 diffuse .7} %s}\n" % (g, g * r.uniform(0.85, 1), g * r.uniform(0.75, 1), wall)
            if back == "shelves":
                out += clutter(r, lambda: (-behind + r.uniform(5, 150), r.uniform(-300, 300), r.uniform(-150, 250)), 40)
    # What chrome sees: a room with two windows and a dark floor.
    out += "sky_sphere{pigment{gradient <%.3f,%.3f,%.3f> color_map{[0 rgb .12][.4 rgb .25][.55 rgb .6][.8 rgb .75][.85 rgb 1.3][1 rgb 1.2]} scale 2 translate -1}}\n" % tuple(m + 0.4 * n_)
    ambient, lights = 1.0, ""
    light = lambda at, strength, size, n=4: "light_source{%s rgb <%.3f,%.3f,%.3f> area_light %s,%s,%d,%d adaptive 0 jitter circular orient}\n" % (
        vec(at), *strength, vec(np.array([size, 0, 0.0])), vec(np.array([0, size, 0.0])), n, n)
    over = m * 1.0 + (n_ * 0.7 if t["standing"] else 0)
    aside = r.uniform(0, 2 * math.pi)
    slant = math.cos(aside) * u + math.sin(aside) * v
    warm = np.array([1, 0.85, 0.65])
    if t["light"] == "window":
        way = over * r.uniform(0.35, 0.9) + slant
        lights += light(middle + 1200 * way / np.linalg.norm(way), np.ones(3) * 1.0, 500)
        ambient = 1.8
    elif t["light"] == "lamp":
        way = over + slant * r.uniform(0.2, 1)
        lights += light(middle + r.uniform(350, 800) * way / np.linalg.norm(way), warm * 1.1, 50, 3)
        ambient = 0.9
    elif t["light"] == "flash":
        a = r.uniform(0, 2 * math.pi)
        lights += "light_source{%s rgb 1.05}\n" % vec(eye + r.uniform(12, 25) * (math.cos(a) * right + math.sin(a) * up))
        ambient = 0.6
    else:
        for k in range(2):
            way = over + 0.9 * (math.cos(aside + 2.5 * k) * u + math.sin(aside + 2.5 * k) * v)
            lights += light(middle + 1500 * way / np.linalg.norm(way), np.ones(3) * 0.5, 700, 3)
        ambient = 1.8
    out = out.replace("max_trace_level 3", "max_trace_level 3 ambient_light %.2f" % ambient) + lights
    t["fingers"] = t["standing"] and r.random() < 0.25
    if t["fingers"]:
        skin = "pigment{rgb<.75,.5,.4>} finish{ambient .15 diffuse .7 specular .05}"
        at, way = (high, 1) if r.random() < 0.5 else (low, -1)
        for y in (-1, 1):
            out += "sphere_sweep{linear_spline 3 <0,%.2f,%.2f>,%.2f <0,%.2f,%.2f>,%.2f <0,%.2f,%.2f>,%.2f %s}\n" % (
                y * reach * 0.4, at + way * 4, 6, y * (reach + 6), at + way * 30, 8, y * (reach + 14), at + way * 90, 9, skin)
    if t["light"] == "room" and back == "window":
        t["light"] = "window behind"
    t.update(lean_deg=math.degrees(lean), distance_mm=round(distance, 1), focal35=f35, wide=width, high=height, turn_deg=math.degrees(turn))
    return t, out + part, r


def exif(f35, w, h):
    """An Exif block with orientation, focal length for 35 mm film and the picture's size as the camera wrote it."""
    ifd = Image.Exif()
    ifd[0x0112] = 1
    ifd._ifds[0x8769] = {0xA002: w, 0xA003: h, 0xA405: f35}
    return ifd.tobytes()


def developed(t, picture, r):
    """What lens, sensor, phone and people do to a picture."""
    n = np.random.default_rng(abs(hash_of(t)))
    w, h = t["wide"], t["high"]
    a = np.asarray(picture.convert("RGB"), dtype=np.float32)
    k = r.uniform(-0.015, 0.015)
    t["distortion"] = k
    y, x = np.mgrid[0:h, 0:w].astype(np.float32)
    dx, dy = x - (w - 1) / 2, y - (h - 1) / 2
    q = 1 + k * (dx * dx + dy * dy) / (w * w + h * h) * 4
    x, y = np.clip((w - 1) / 2 + dx * q, 0, w - 1.001), np.clip((h - 1) / 2 + dy * q, 0, h - 1.001)
    i, j = x.astype(int), y.astype(int)
    fx, fy = (x - i)[..., None], (y - j)[..., None]
    a = (a[j, i] * (1 - fx) + a[j, i + 1] * fx) * (1 - fy) + (a[j + 1, i] * (1 - fx) + a[j + 1, i + 1] * fx) * fy
    light = np.percentile(a.max(-1), 98)
    a = a * min(1.6, max(0.75, 235 / max(light, 1)))  # the phone's exposure
    picture = Image.fromarray(np.clip(a, 0, 255).astype(np.uint8)).filter(ImageFilter.GaussianBlur(r.uniform(0.5, 1.5)))
    if r.random() < 0.5:
        picture = picture.filter(ImageFilter.UnsharpMask(1.5, r.randint(30, 90), 2))
    a = np.asarray(picture, dtype=np.float32)
    noise = r.uniform(1, 5)
    grain = n.normal(0, noise, a.shape[:2])[..., None] + n.normal(0, noise * 0.5, a.shape)
    picture = Image.fromarray(np.clip(a + grain, 0, 255).astype(np.uint8))
    keeps = r.random() < 0.7
    size = (w, h)
    t["cropped"] = t["shrunk"] = False
    if r.random() < 1 / 6:
        t["cropped"] = True
        c = r.uniform(0.55, 0.9)
        cw, ch = int(w * c), int(h * c)
        if r.random() > 0.25:
            ch = int(h * r.uniform(0.55, 1))
        x0, y0 = r.randint(0, w - cw), r.randint(0, h - ch)
        picture = picture.crop((x0, y0, x0 + cw, y0 + ch))
        if r.random() > 0.5:
            size = picture.size
    if r.random() < 1 / 8:
        t["shrunk"] = True
        s = r.uniform(0.6, 0.9)
        picture = picture.resize((int(picture.width * s), int(picture.height * s)), Image.LANCZOS)
        size = picture.size if r.random() > 0.5 else size
    t["exif"] = keeps
    t["read_mm"] = round(t["major"] - 2 * t.get("worn_mm", 0) + r.gauss(0, 0.03), 2)
    t["told_mm"] = round(t["distance_mm"] * (1 + r.gauss(0, 0.03)), -1) if r.random() < 1 / 6 else 0
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=r.randint(70, 95), **({"exif": exif(t["focal35"], *size)} if keeps else {}))
    return buffer.getvalue()


def hash_of(t):
    return t["seed"] * 1_000_003 + t["n"] * 2 + t["nothing"]


def main():
    args = [a for a in sys.argv[1:] if not a.startswith("--")]
    folder, seed, low, high = args[0], int(args[1]), int(args[2]), int(args[3])
    nothing = "--nothing" in sys.argv
    width = int(sys.argv[sys.argv.index("--width") + 1]) if "--width" in sys.argv else 1360
    os.makedirs(folder, exist_ok=True)
    kind = "none" if nothing else "thread"
    for n in range(low, high):
        name = f"{kind}-{seed}-{n:03d}"
        path = os.path.join(folder, name + ".jpg")
        if os.path.exists(path):
            continue
        t, scene, r = scene_of(seed, n, nothing, width)
        with tempfile.TemporaryDirectory() as work:
            open(os.path.join(work, "s.pov"), "w").write(scene)
            done = subprocess.run(["povray", "s.pov", "-D", "+Oout.png", f"+W{t['wide']}", f"+H{t['high']}", "+A0.3", "+AM1", "+R2", "+WT1", "-GA"], cwd=work, capture_output=True, text=True)
            if not os.path.exists(os.path.join(work, "out.png")):
                sys.exit(f"{name}: povray failed: {done.stderr[-800:]}")
            data = developed(t, Image.open(os.path.join(work, "out.png")), r)
        t["file"] = name + ".jpg"
        open(path + ".part", "wb").write(data)
        with open(os.path.join(folder, f"{kind}-{seed}-{n:03d}.json"), "w") as f:
            json.dump(t, f)
        os.replace(path + ".part", path)


main()
