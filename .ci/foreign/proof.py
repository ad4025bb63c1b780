"""Holds the truth against the files: proof.py DIR... tells for each thread how far its points lie from the surface that the truth says,
along the helix, at the best phase. Noise, voxels and thinning leave their marks; a wrong truth, or a modeller that did not keep to what it was
told, stands out. Exit 1 when clean kinds are off by more than 5 micrometres."""
import json
import os
import sys
import numpy as np
import formats
from thread import Thread

CLEAN = ("twist", "turned", "several", "coarse", "turns", "brep", "screw")


def points(path):
    if path.endswith(".obj"):
        return np.array([[float(w) for w in line.split()[1:4]] for line in open(path) if line.startswith("v ")])
    if path.endswith(".stl"):
        return np.unique(formats.read_stl(path).reshape(-1, 3), axis=0)
    return None


def surface(t, z):
    """Height of the truth's profile, from its figures alone: crest and root lines and the two flanks."""
    low, up = [np.tan(np.radians(a)) for a in t["flank_deg"]]
    if t["side"] == "internal":
        low, up = up, low
    pitch = t["lead_mm"] / t["starts"]
    depth = (t["major_mm"] - t["minor_mm"]) / 2
    crest = pitch / 2 - (t["major_mm"] - t["pitch_diameter_mm"]) / 2 * (low + up)
    root = pitch - crest - depth * (low + up)
    return np.interp(np.mod(z, pitch), [0, root, root + depth * low, root + depth * low + crest, pitch], [0, 0, depth, depth, 0]) + t["minor_mm"] / 2


def away(p, t):
    """Distances of the points of the full form from the surface, at the phase where most are least."""
    d = np.array(t["direction"], float)
    x = np.cross(d, [1, 0, 0] if abs(d[0]) < 0.9 else [0, 1, 0])
    x /= np.linalg.norm(x)
    q = p - np.array(t["point_mm"])
    z, a, b = q @ d, q @ x, q @ np.cross(d, x)
    r = np.hypot(a, b)
    low, high = [(np.array(t[k]) - t["point_mm"]) @ d for k in ("start_mm", "end_mm")]
    spare = min(1.6 * t["lead_mm"], (high - low) / 3)
    keep = (z > low + spare) & (z < high - spare) & (r > t["minor_mm"] / 2 - 0.02) & (r < t["major_mm"] / 2 + 0.02)
    if keep.sum() < 30:
        return None
    turn = np.arctan2(b, a)[keep] / (2 * np.pi) * t["lead_mm"] * (-1 if t["hand"] == "left" else 1)
    pitch = t["lead_mm"] / t["starts"]
    miss = lambda phase: np.abs(r[keep] - surface(t, z[keep] - turn - phase))
    best = min(np.arange(0, pitch, pitch / 400), key=lambda f: np.mean(miss(f)))
    for step in (pitch / 400, pitch / 4000, pitch / 40000, pitch / 400000):
        best = min(best + step * np.arange(-10, 11) / 10 * 1.5, key=lambda f: np.mean(miss(f)))
    return miss(best)


def main():
    wrong = 0
    for d in sys.argv[1:]:
        for e in json.load(open(os.path.join(d, "truth.json"))):
            p = points(os.path.join(d, e["name"]))
            for t in e["threads"]:
                if p is None or t["turns"] < 2 or not t["flank_deg"] or isinstance(t["major_mm"], list) or isinstance(t["flank_deg"][0], list) or t["taper"]:
                    continue
                m = away(p * (25.4 if e["unit"] == "in" else 1), t)
                if m is None:
                    continue
                off = np.percentile(m, 90)
                clean = e["kind"].startswith(CLEAN) and "55" not in str(t["flank_deg"]) and t["flank_deg"][0] != 27.5
                bad = clean and off > 0.005
                wrong += int(bad)
                if bad or "-v" in sys.argv or not clean and off > 0.2:
                    print("%s %s %g: 9 of 10 points within %.4f, all within %.4f%s" % (e["name"], t["side"], t["major_mm"], off, m.max(), " WRONG" if bad else ""))
    print("%d threads are not as the truth says" % wrong)
    return min(wrong, 1)


if __name__ == "__main__":
    sys.exit(main())
