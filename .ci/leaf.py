#!/usr/bin/env python3
"""Finds the teeth of a leaf in the G-code that a slicer made of it with one wall, and holds them to the leaf's file.

leaf.py LEAF.json PART.gcode

Above the lowest layer each edge's path crosses a line halfway between its crests and its roots twice a tooth. The crossings of each flank must
be as many as teeth, a pitch apart, and lean as the flank does. The path lies half a line beside the bead's edge, which moves all alike.
"""

import json
import math
import sys

from beads import moves

TOL = 0.01  # mm along the edge
LEAN = 0.5  # degrees


def row(xs):
    """The pitch of a row by least squares, and the most that one stands off its place."""
    n, mean = len(xs), sum(xs) / len(xs)
    mid = (n - 1) / 2
    pitch = sum((i - mid) * (x - mean) for i, x in enumerate(xs)) / sum((i - mid) ** 2 for i in range(n))
    return pitch, max(abs(x - mean - pitch * (i - mid)) for i, x in enumerate(xs))


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        told = json.load(file)
    (leaf,) = told["leaves"]
    runs, _ = moves(sys.argv[2])
    layers = {}
    for z, run in runs:
        if z <= leaf["thickness_mm"] + 1e-6:
            layers.setdefault(round(z, 3), []).extend((a[:2], b[:2]) for a, b in zip(run, run[1:]))
    layers.pop(min(layers))  # that of the sole
    if len(layers) < 4:
        sys.exit("too few layers: %s" % sorted(layers))
    worst = 0.0
    for z, lines in layers.items():
        for edge in told["edges"]:
            sx, sy = (-1 if "left" in edge["place"] else 1), (-1 if "lower" in edge["place"] else 1)
            own = [((sx * a[0], sy * a[1]), (sx * b[0], sy * b[1])) for a, b in lines]
            tip = max(p[0] for line in own for p in line)
            start = tip - leaf["arm_mm"] + 1
            own = [line for line in own if min(line[0][0], line[1][0]) > start]
            middle_of_arm = (min(p[1] for line in own for p in line) + max(p[1] for line in own for p in line)) / 2
            crest = max(p[1] for line in own for p in line)
            end = max(p[0] for line in own for p in line)
            root = max(p[1] for line in own for p in line if p[0] > end - 0.02)  # the corner of the tip stands as high as the roots
            level = (crest + root) / 2
            if not middle_of_arm < root < crest - 0.1:
                sys.exit("%s: no teeth at z %.2f" % (edge["label"], z))
            near, far = [], []
            for a, b in own:
                if (a[1] < level) != (b[1] < level):
                    if a[1] > b[1]:
                        a, b = b, a
                    lean = math.degrees(math.atan2(b[0] - a[0], b[1] - a[1]))
                    (near if lean > 0 else far).append((a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0]), abs(lean)))
            for flank, angle in zip((near, far), edge["flanks_deg"]):
                if len(flank) != edge["teeth"]:
                    sys.exit("%s at z %.2f: %d flanks, %d teeth" % (edge["label"], z, len(flank), edge["teeth"]))
                pitch, off = row(sorted(x for x, _ in flank))
                lean = max(abs(a - angle) for _, a in flank)
                worst = max(worst, off, abs(pitch - edge["modelled_pitch_mm"]) * edge["teeth"])
                if worst > TOL or lean > LEAN:
                    sys.exit("%s at z %.2f: pitch %.4f mm, off %.4f mm, leans off %.2f degrees" % (edge["label"], z, pitch, off, lean))
    print("%s: %d edges in %d layers, teeth within %.4f mm" % (told["name"], len(told["edges"]), len(layers), worst))


main()
