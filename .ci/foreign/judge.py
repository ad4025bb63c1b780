"""Has tryring inspect every part file of a folder and compares what it says with the truth: judge.py TRYRING DIR [--list] [--only KIND].

Counts figures outside their intervals, threads missed and invented, wrong side, hand and starts, soundness, names of standard threads; a
figure that is not given is counted apart, and how wide the intervals are is shown, since a doubt that covers all says nothing. Exit 1 when
more is wrong than the bounds given allow."""
import argparse
import collections
import concurrent.futures
import json
import kernel
import math
import os
import subprocess
import sys
import time

FIGURES = {"lead": ("lead_mm", "u_lead_mm"), "major": ("major_mm", "u_major_mm"), "pitch dia": ("pitch_diameter_mm", "u_pitch_diameter_mm"),
           "minor": ("minor_mm", "u_minor_mm"), "flank": ("flank_deg", "u_flank_deg")}
# What rounding in a file and in the print of a figure may add: 7 digits of float32 and four decimals.
SLACK = 2e-4
SIDES = {"internal": "internal", "inner": "internal", "inside": "internal", "external": "external", "outer": "external", "outside": "external"}

sub = lambda a, b: [x - y for x, y in zip(a, b)]
dot = lambda a, b: sum(x * y for x, y in zip(a, b))
size = lambda a: math.sqrt(dot(a, a))
cross = lambda a, b: [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def inspect(tryring, path, unit):
    words = [tryring, "inspect", path, "--json"] + (["--unit", unit] if unit == "in" else [])
    start = time.time()
    try:
        p = subprocess.run(words, capture_output=True, text=True, timeout=120, stdin=subprocess.DEVNULL)
    except subprocess.TimeoutExpired:
        return None, "takes more than 120 s", 120
    took = time.time() - start
    if p.returncode not in (0, 3):
        return None, (p.stderr or p.stdout).strip().replace("\n", " ")[:200], took
    try:
        return json.loads(p.stdout), "", took
    except ValueError:
        return None, "prints no JSON", took


def same_axis(seen, truth):
    """How far the axes are apart, as (mm at the middle of the truth's range, degrees); the seen axis may look either way."""
    d = seen["axis"]["direction"]
    d = [x / size(d) for x in d]
    mid = [(a + b) / 2 for a, b in zip(truth["start_mm"], truth["end_mm"])]
    away = size(cross(sub(mid, seen["axis"]["point_mm"]), d))
    return away, math.degrees(math.asin(min(1, size(cross(d, truth["direction"])))))


def overlap(seen, truth):
    """The shared length along the axis, as a share of the truth's. The seen heights count from the axis' point, along its direction, or
    from the file's zero: the better of both is taken."""
    d, p = seen["axis"]["direction"], seen["axis"]["point_mm"]
    best = 0
    for zero in (p, (0, 0, 0)):
        a, b = sorted(dot(sub(truth[k], zero), d) for k in ("start_mm", "end_mm"))
        low, high = sorted(seen["z_mm"])
        best = max(best, (min(b, high) - max(a, low)) / max(b - a, 1e-9))
    return best


def alike(seen, truth):
    away, tilt = same_axis(seen, truth)
    return SIDES.get(seen["side"]) == truth["side"] and away < 0.1 * span(truth["major_mm"])[1] + 0.2 and tilt < 4 and overlap(seen, truth) > 0.02


def span(v):
    return v if isinstance(v, list) else [v, v]


def at_height(truth, seen):
    """Diameters of a taper hold at a height: those of the truth there where the seen ones hold, ref_z_mm or the middle of the range."""
    if not truth["taper"]:
        return 0.0
    d, p = seen["axis"]["direction"], seen["axis"]["point_mm"]
    z = seen.get("ref_z_mm", sum(seen["z_mm"]) / 2)
    out = []
    for zero in (p, (0, 0, 0)):
        at = [q + (z - dot(sub(p, zero), d)) * x for q, x in zip(p, d)]
        out.append(truth["taper"] * dot(sub(at, truth["reference_mm"]), truth["direction"]))
    return out


class Tally:
    def __init__(self):
        self.figures = collections.Counter()  # (figure, "right" | "wrong" | "not given")
        self.widths = collections.defaultdict(list)
        self.kinds = collections.defaultdict(collections.Counter)
        self.lines = []

    def say(self, kind, what, line):
        self.kinds[kind][what] += 1
        self.lines.append("%s: %s" % (what, line))


def compare(t, name, kind, seen, truth, entry):
    away, tilt = same_axis(seen, truth)
    if seen.get("hand") and seen["hand"] != truth["hand"]:
        t.say(kind, "hand", "%s says %s" % (name, seen["hand"]))
    if seen.get("starts") and seen["starts"] != truth["starts"]:
        t.say(kind, "starts", "%s says %s for %s" % (name, seen["starts"], truth["starts"]))
    if overlap(seen, truth) < 0.5:
        t.say(kind, "range short", "%s: %.0f %% of the full form" % (name, 100 * overlap(seen, truth)))
    if away > 0.05 + 2 * entry.get("noise_mm", 0):
        t.say(kind, "axis off", "%s by %.3f mm and %.2f degrees" % (name, away, tilt))
    turned = dot(seen["axis"]["direction"], truth["direction"]) < 0
    shifts = at_height(truth, seen)
    for figure, (key, u_key) in FIGURES.items():
        value, u = seen.get(key), seen.get(u_key)
        if truth[key] is None:
            continue
        pairs = []
        if figure == "flank":
            both = truth[key][::-1] if turned else truth[key]
            us = u if isinstance(u, list) else [u, u]
            pairs = list(zip(value or [None, None], us, both))
        elif truth["taper"] and figure in ("major", "pitch dia", "minor") and value is not None:
            pairs = [(value, u, min((truth[key] + s for s in shifts), key=lambda w: abs(w - value)))]
        else:
            pairs = [(value, u, truth[key])]
        for v, w, true in pairs:
            if v is None or w is None:
                t.figures[figure, "not given" if v is None else "no interval"] += 1
                t.kinds[kind]["not given"] += 1
                continue
            low, high = span(true)
            off = max(low - v, v - high, 0)
            t.widths[figure].append(w)
            t.kinds[kind]["given"] += 1
            if off <= w + SLACK:
                t.figures[figure, "right"] += 1
            else:
                t.figures[figure, "wrong"] += 1
                t.say(kind, "outside", "%s %s is %.4f, u %.4f, true %s: off by %.4f" % (name, figure, v, w, true, off))
    if truth["standard"] and kind not in ("scaled", "worn"):
        names = [c.get("designation", c) if isinstance(c, dict) else c for c in seen.get("candidates") or []]
        plain = lambda s: s.replace(" ", "").replace("UNS", "").replace("UN", "").split("-6")[0].lower()
        if not names:
            t.kinds[kind]["no name"] += 1
        elif plain(truth["standard"]) not in plain(names[0]):
            t.say(kind, "other name first", "%s is %s, first said %s%s" % (name, truth["standard"], names[0], " (it comes later)" if any(plain(truth["standard"]) in plain(n) for n in names) else ""))


def one(t, entry, result):
    found, error, took = result
    kind, name = entry["kind"], entry["name"] + (" (%s)" % (entry.get("what") or entry["fault"]) if entry.get("what") or entry["fault"] else "")
    t.kinds[kind]["files"] += 1
    if found is None:
        t.say(kind, "not read", "%s: %s" % (name, error))
        return
    if took > 5:
        t.say(kind, "slow", "%s takes %.1f s" % (name, took))
    for who, sound in (("the truth", entry["sound"]), ("the kernel", entry.get("kernel") if entry["sound"] is None else None)):
        if sound is not None and found["sound"] != sound:
            t.say(kind, "soundness", "%s is said to be %s, %s says otherwise %s" % (name, "sound" if found["sound"] else "not sound", who, {k: v for k, v in found.items() if isinstance(v, int) and v and not isinstance(v, bool)}))
            break
    seen = found.get("threads")
    if seen is None:  # before there was a list
        seen = [dict(s, side=k, axis={"point_mm": [0, 0, 0], "direction": [0, 0, 1]}) for k, s in (("inner", found.get("inner")), ("outer", found.get("outer"))) if s]
    free, matched = list(seen), []
    for truth in entry["threads"]:
        fit = [s for s in free if alike(s, truth)]
        fit.sort(key=lambda s: abs((s.get("pitch_diameter_mm") or s.get("major_mm") or 0) - truth["pitch_diameter_mm"]))
        if fit:
            free.remove(fit[0])
            matched.append((fit[0], truth))
            continue
        must = truth["turns"] >= 1 and entry.get("facets", 99) > 24 and truth["share"] >= 1
        why = "; ".join(str(w) for w in found.get("not_measured") or [])
        t.say(kind, "missed" if must else "missed, not counted", "%s: the %s thread of %g x %g, %s%s" % (
            name, truth["side"], span(truth["major_mm"])[1], truth["lead_mm"], "%.1f turns" % truth["turns"], ", because " + why[:160] if why else ""))
    for s in free:
        t.say(kind, "phantom", "%s: %s" % (name, json.dumps({k: s.get(k) for k in ("side", "axis", "z_mm", "major_mm", "pitch_diameter_mm", "lead_mm", "turns")})[:260]))
    for s, truth in matched:
        t.kinds[kind]["found"] += 1
        compare(t, entry["name"], kind, s, truth, entry)


def main():
    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("tryring")
    p.add_argument("dir", nargs="+")
    p.add_argument("--list", action="store_true", help="every line of what is wrong")
    p.add_argument("--only", default="", help="files whose name begins so")
    p.add_argument("--kernel", help="the exact kernel's program, built from .ci/sound.cpp: judges soundness as well")
    for what, text in (("outside", "per cent of figures outside their intervals"), ("missed", "threads"), ("phantom", "threads"), ("unread", "files"), ("unsound", "verdicts of soundness")):
        p.add_argument("--" + what, type=float, help="exit 1 when more %s of this kind" % text)
    a = p.parse_args()
    t = Tally()
    work = []
    for d in a.dir:
        work += [(d, e) for e in json.load(open(os.path.join(d, "truth.json"))) if e["name"].startswith(a.only)]
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        results = list(pool.map(lambda w: inspect(a.tryring, os.path.join(w[0], w[1]["name"]), w[1]["unit"]), work))
    if a.kernel:
        paths = {os.path.join(d, e["name"]): e for d, e in work if e["triangles"] is None or e["triangles"] < 150000}
        for path, sound in kernel.judge(a.kernel, list(paths)).items():
            paths[path]["kernel"] = sound
    for (d, e), r in zip(work, results):
        one(t, e, r)
    return report(t, a, len(work))


def report(t, a, files):
    columns = ["files", "found", "missed", "phantom", "not read", "given", "outside", "not given", "hand", "starts", "axis off", "range short", "soundness", "other name first", "no name", "slow"]
    print("| kind | " + " | ".join(columns) + " |\n|" + " --- |" * (len(columns) + 1))
    total = collections.Counter()
    for kind in sorted(t.kinds):
        total.update(t.kinds[kind])
        print("| %s | " % kind + " | ".join(str(t.kinds[kind][c] or "") for c in columns) + " |")
    print("| all | " + " | ".join(str(total[c]) for c in columns) + " |\n")
    print("| figure | right | outside | without interval | not given | width: median | 9 of 10 |\n|" + " --- |" * 7)
    for f in FIGURES:
        w = sorted(t.widths[f]) or [math.nan]
        print("| %s | %d | %d | %d | %d | %.4f | %.4f |" % (f, t.figures[f, "right"], t.figures[f, "wrong"], t.figures[f, "no interval"], t.figures[f, "not given"], w[len(w) // 2], w[len(w) * 9 // 10]))
    if a.list:
        print()
        for line in sorted(t.lines):
            print(line)
    share = 100 * total["outside"] / max(total["given"], 1)
    print("\n%d files: %.1f %% of %d figures outside their intervals, %d missed, %d phantom, %d not read, %d of soundness" % (
        files, share, total["given"], total["missed"], total["phantom"], total["not read"], total["soundness"]))
    bounds = ((a.outside, share), (a.missed, total["missed"]), (a.phantom, total["phantom"]), (a.unread, total["not read"]), (a.unsound, total["soundness"]))
    return any(bound is not None and found > bound for bound, found in bounds)


if __name__ == "__main__":
    sys.exit(main())
