#!/usr/bin/env python3
"""Finds what a mate feels of a ring's threads from G-code alone, without any of the project's code, and compares.

beads.py check RING.json PART.gcode SEEN.json [bare]   the ring's file, the G-code, and what `tryring inspect --json` said of it;
                                                 with bare the model is told and not held, for a slicer that leaves the outlines
beads.py arcs PART.gcode OUT.gcode               the same moves, every second pair turned into an arc, all comments left out

A bead is a rectangle with half circles at its ends: a ball of half the layer's height rolled along a line that lies half the
bead's width, less that ball, beside the path. A straight flank at angle a touches a ball of radius b about (u, y) where
u -+ y tan a is moved out by b / cos a; so each flank of the tightest mate is the outermost such line over all beads, and the pitch
diameter felt is where the ridge between both lines is as wide as the groove. Crests are the outermost balls. This is another way
than the project's, which draws the mate's whole surface back. What was drawn must differ from what is felt by the formula of the
printed flank, the script from inspect by no more, and both stand in the table.
"""

import json
import math
import re
import sys

TOL = 0.02  # mm on the diameter
BULGE = 0.003  # mm that an arc may stand out of the two moves that it takes the place of
WORD = re.compile(r"([A-Z])\s*([-+]?[0-9]*\.?[0-9]+)")


def moves(path):
    """Yields (z, [(x, y, fed)...]) for each stretch that is laid in one go; also the filament's diameter when it is told."""
    pos = {"X": 0.0, "Y": 0.0, "Z": 0.0, "E": 0.0}
    relative = relative_e = False
    run = []
    filament = None
    found = []
    with open(path, encoding="utf-8") as lines:
        for line in lines:
            if line.startswith(";"):
                told = re.match(r"; filament_diameter = ([0-9.]+)", line)
                if told:
                    filament = float(told[1])
                continue
            line = line.split(";")[0].strip().upper()
            if not line:
                continue
            head = line.split()[0]
            if head == "G90":
                relative = False
            elif head == "G91":
                relative = True
            elif head in ("M82", "M83"):
                relative_e = head == "M83"
            elif head == "G92":
                for letter, value in WORD.findall(line[3:]):
                    pos[letter] = float(value)
            elif head in ("G0", "G1", "G2", "G3"):
                words = {k: float(v) for k, v in WORD.findall(line[2:])}
                old = dict(pos)
                for k in "XYZE":
                    if k in words:
                        pos[k] = words[k] + (pos[k] if (relative_e if k == "E" else relative) else 0)
                fed = pos["E"] - old["E"]
                way = math.hypot(pos["X"] - old["X"], pos["Y"] - old["Y"])
                if way == 0 and pos["Z"] == old["Z"]:
                    continue
                if fed <= 0 or way == 0:
                    if len(run) > 1:
                        found.append((old["Z"], run))
                    run = []
                    continue
                if not run:
                    run = [(old["X"], old["Y"], 0.0)]
                if head in ("G2", "G3"):
                    run += arc(old, pos, words, head == "G2", fed)
                else:
                    run.append((pos["X"], pos["Y"], fed))
    if len(run) > 1:
        found.append((pos["Z"], run))
    return found, filament


def arc(old, new, words, clockwise, fed):
    """The chords of an arc, a twentieth of a radian each at most."""
    cx, cy = old["X"] + words["I"], old["Y"] + words["J"]
    r = math.hypot(old["X"] - cx, old["Y"] - cy)
    a = math.atan2(old["Y"] - cy, old["X"] - cx)
    turn = math.atan2(new["Y"] - cy, new["X"] - cx) - a
    turn -= 2 * math.pi * math.floor(turn / (2 * math.pi))
    if clockwise:
        turn -= 2 * math.pi
    n = max(1, math.ceil(abs(turn) / (2 * math.acos(max(0.0, 1 - 0.0005 / r)))))
    out = [(cx + r * math.cos(a + turn * k / n), cy + r * math.sin(a + turn * k / n), fed / n) for k in range(1, n)]
    return out + [(new["X"], new["Y"], fed / n)]


class Loop:
    """A closed wall about the origin."""

    def __init__(self, pts):
        self.pts = pts
        radii = [math.hypot(x, y) for x, y, _ in pts]
        self.mean = sum(radii) / len(radii)
        flows = sorted((e / w, w) for (x0, y0, _), (x, y, e) in zip(pts, pts[1:]) if (w := math.hypot(x - x0, y - y0)) > 0)
        half, self.flow = sum(w for _, w in flows) / 2, 0.0
        for self.flow, w in flows:
            half -= w
            if half <= 0:
                break
        self.sense = 1 if sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(pts, pts[1:])) > 0 else -1


def layers(found):
    """The loops of each layer about the common axis: {z: [Loop...]}."""
    closed = [(z, run) for z, run in found if math.dist(run[0][:2], run[-1][:2]) < 0.5 and len(run) > 30]
    spans = [(min(p[0] for p in run), max(p[0] for p in run), min(p[1] for p in run), max(p[1] for p in run)) for _, run in closed]
    widest = max(hi - lo for lo, hi, _, _ in spans)
    wide = [s for s in spans if s[1] - s[0] > widest / 4]
    cx = sorted(s[0] + s[1] for s in wide)[len(wide) // 2] / 2
    cy = sorted(s[2] + s[3] for s in wide)[len(wide) // 2] / 2
    out = {}
    for (z, run), s in zip(closed, spans):
        if s[0] < cx < s[1] and s[2] < cy < s[3] and s[1] - s[0] > widest / 4:
            out.setdefault(round(z, 4), []).append(Loop([(x - cx, y - cy, e) for x, y, e in run]))
    return out


def felt(thread, outside, stack, filament, height):
    """The diameters that a mate feels of one thread: crest and pitch diameter."""
    toward = 1 if outside else -1
    area = math.pi / 4 * filament * filament
    flanks = [math.radians(a) for a in thread["flanks_deg"]]
    if not outside:
        flanks.reverse()  # the ridge of an inner thread is the groove of its profile
    pitch, lead = thread["pitch_mm"], thread["lead_mm"] * (1 if thread["hand"] == "right" else -1)
    slope = -thread["taper"] / 2
    low, high = thread["z_mm"]
    plane = (thread["measured"] or {}).get("ref_z_mm", 0.0)
    drawn = thread["modelled"]
    beads = []
    last = 0.0
    for z in sorted(stack):
        h, last = z - last, z
        mid = z - h / 2
        if not low <= mid <= high:
            continue
        loop = (max if outside else min)(stack[z], key=lambda o: o.mean)
        ball = h / 2
        aside = ((loop.flow * area / h + (1 - math.pi / 4) * h) / 2 - ball) * toward * loop.sense
        for (x0, y0, _), (x1, y1, _) in zip(loop.pts, loop.pts[1:]):
            way = math.hypot(x1 - x0, y1 - y0)
            if way == 0:
                continue
            nx, ny = (y1 - y0) / way * aside, -(x1 - x0) / way * aside
            for t in range(0, math.ceil(way / 0.4) + 1):
                t /= math.ceil(way / 0.4)
                beads.append((x0 + t * (x1 - x0) + nx, y0 + t * (y1 - y0) + ny, mid, ball))
    # The axis: the outermost balls in each of 60 directions lie on a circle.
    ox = oy = 0.0
    for _ in range(2):
        far = [-1e9] * 60
        for x, y, z, ball in beads:
            k = int((math.atan2(y - oy, x - ox) / (2 * math.pi) % 1) * 60) % 60
            far[k] = max(far[k], toward * (math.hypot(x - ox, y - oy) - slope * (z - plane)) + ball)
        dx = sum(f * math.cos((k + 0.5) * math.pi / 30) for k, f in enumerate(far)) / 30
        dy = sum(f * math.sin((k + 0.5) * math.pi / 30) for k, f in enumerate(far)) / 30
        ox, oy = ox + toward * dx, oy + toward * dy
    places = []
    for x, y, z, ball in beads:
        x, y = x - ox, y - oy
        places.append((z - lead * math.atan2(y, x) / (2 * math.pi), toward * (math.hypot(x, y) - slope * (z - plane)), ball))
    crest = max(y + ball for _, y, ball in places)
    line = toward * drawn["pitch_diameter_mm"] / 2
    depth = (drawn["major_mm"] - drawn["minor_mm"]) / 2
    # The middle of a ridge: the mean direction of what lies outside of the pitch line.
    turn = [2 * math.pi * u / pitch for u, y, _ in places if y > line]
    middle = math.atan2(sum(map(math.sin, turn)), sum(map(math.cos, turn))) / (2 * math.pi) * pitch
    for _ in range(4):  # the line moves with what is felt
        left, right = 1e9, -1e9
        tl, tr = math.tan(flanks[0]), math.tan(flanks[1])
        for u, y, ball in places:
            u = (u - middle + pitch / 2) % pitch - pitch / 2
            if abs(y + ball * math.sin(flanks[0]) - line) < depth / 5:
                left = min(left, u - (y - line) * tl - ball / math.cos(flanks[0]))
            if abs(y + ball * math.sin(flanks[1]) - line) < depth / 5:
                right = max(right, u + (y - line) * tr + ball / math.cos(flanks[1]))
        line += (right - left - pitch / 2) / (tl + tr)
    return 2 * toward * crest, 2 * toward * line


def added(thread, layer):
    """What layers add to the pitch diameter outside, by the formula."""
    a, b = (math.radians(x) for x in thread["flanks_deg"])
    reach = sum(layer / 2 * (1 - math.sin(x)) / math.cos(x) for x in (a, b))
    return 2 * reach / (math.tan(a) + math.tan(b))


def check(ring_file, code, seen_file, bare=None):
    with open(ring_file, encoding="utf-8") as f:
        ring = json.load(f)
    with open(seen_file, encoding="utf-8") as f:
        seen = json.load(f)
    found, filament = moves(code)
    stack = layers(found)
    wrong = 0
    for name in ("inner", "outer"):
        thread, outside = ring[name], name == "outer"
        crest, line = felt(thread, outside, stack, filament or 1.75, ring["height_mm"])
        sign, top = (1, "major_mm") if outside else (-1, "minor_mm")
        model = thread["modelled"]["pitch_diameter_mm"] + sign * added(thread, seen["layer_mm"])
        for what, script, tool, drawn in (
            ("pitch", line, seen[name]["felt"]["pitch_diameter_mm"], model),
            ("crest", crest, seen[name]["felt"][top], thread["modelled"][top]),
        ):
            bad = abs(script - tool) > TOL or not bare and max(abs(tool - drawn), abs(script - drawn)) > TOL
            wrong += bad
            print(f"{thread['designation']:24} {name} {what}: model {drawn:.3f}  inspect {tool - drawn:+.4f}  script {script - drawn:+.4f}{'  WRONG' if bad else ''}")
    return wrong


def arcs(code, out):
    """Turns pairs of laying moves into arcs; needs relative filament (M83)."""
    last, held, n = (0.0, 0.0), None, 0
    with open(code, encoding="utf-8") as lines, open(out, "w", encoding="utf-8") as to:

        def straight(move):
            to.write(f"G1 X{move[0]:.5f} Y{move[1]:.5f} E{move[2]:.6f}\n")

        for line in lines:
            line = line.split(";")[0].strip()
            if not line:
                continue
            words = dict(WORD.findall(line))
            laying = line.startswith("G1 ") and {"X", "Y", "E"} <= words.keys() and float(words["E"]) > 0
            if laying:
                move = tuple(float(words[k]) for k in "XYE")
                if held is None:
                    held = move
                    continue
                ax, ay, bx, by = held[0] - last[0], held[1] - last[1], move[0] - last[0], move[1] - last[1]
                cross = ax * by - bx * ay
                i = j = 0.0
                if cross:
                    i = (by * (ax * ax + ay * ay) - ay * (bx * bx + by * by)) / (2 * cross)
                    j = (ax * (bx * bx + by * by) - bx * (ax * ax + ay * ay)) / (2 * cross)
                longer = max(math.hypot(ax, ay), math.hypot(bx - ax, by - ay))
                radius = math.hypot(i, j)
                if 0.5 < radius < 1000 and longer**2 < 8 * radius * BULGE:
                    to.write(f"G{3 if cross > 0 else 2} X{move[0]:.5f} Y{move[1]:.5f} I{i:.5f} J{j:.5f} E{held[2] + move[2]:.6f}\n")
                    n += 1
                else:
                    straight(held)
                    straight(move)
                last, held = move[:2], None
                continue
            if held is not None:
                straight(held)
                last, held = held[:2], None
            to.write(line + "\n")
            if line.startswith(("G0", "G1")):
                last = (float(words.get("X", last[0])), float(words.get("Y", last[1])))
    return n


if __name__ == "__main__":
    if sys.argv[1] == "check":
        sys.exit(3 if check(*sys.argv[2:6]) else 0)
    made = arcs(*sys.argv[2:4])
    print(f"{made} arcs")
    sys.exit(0 if made > 1000 else 3)
