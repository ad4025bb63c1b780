"""What happens to parts between the model and the file: moved, scaled, scanned, worn, cut open. Truths move along."""
import copy
import math
import numpy as np
from sweep import Mesh


def rotation(axis, degrees):
    a = np.asarray(axis, float) / np.linalg.norm(axis)
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    k = np.array([[0, -a[2], a[1]], [a[2], 0, -a[0]], [-a[1], a[0], 0]])
    return np.eye(3) + s * k + (1 - c) * k @ k


def place(part, turn=None, shift=(0, 0, 0)):
    m, truths = part
    turn = np.eye(3) if turn is None else turn
    m = m.copy()
    m.points = m.points @ turn.T + np.asarray(shift)
    truths = copy.deepcopy(truths)
    for t in truths:
        for key in ("point_mm", "start_mm", "end_mm", "reference_mm"):
            t[key] = list(turn @ np.array(t[key]) + np.asarray(shift))
        t["direction"] = list(turn @ np.array(t["direction"]))
    return m, truths


def anywhere(part, seed):
    g = np.random.default_rng(seed)
    axis = g.normal(size=3)
    return place(part, rotation(axis, g.uniform(20, 160)), g.uniform(-80, 80, 3))


def inches(part):
    """The file's numbers are inches; the truth stays in millimetres."""
    m, truths = part
    m = m.copy()
    m.points = m.points / 25.4
    return m, truths


def vertex_normals(m):
    p = m.points
    face = np.cross(p[m.faces[:, 1]] - p[m.faces[:, 0]], p[m.faces[:, 2]] - p[m.faces[:, 0]])
    out = np.zeros_like(p)
    for k in range(3):
        np.add.at(out, m.faces[:, k], face)
    return out / np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-12)


def noise(part, sigma, seed, reach=0.0):
    """Moves each vertex along its normal by sigma; with reach the shifts are alike over so many mm, as a scanner's are (a sum of waves)."""
    m, truths = part
    g = np.random.default_rng(seed)
    if reach:
        shift = np.zeros(len(m.points))
        for _ in range(60):
            wave = g.normal(size=3)
            wave *= g.uniform(0.5, 1.5) / (reach * np.linalg.norm(wave))
            shift += math.sqrt(2 / 60) * np.cos(2 * math.pi * (m.points @ wave) + g.uniform(0, 2 * math.pi))
    else:
        shift = g.normal(size=len(m.points))
    out = m.copy()
    out.points = m.points + vertex_normals(m) * (sigma * shift)[:, None]
    return out, truths


def oval(part, x=1.01, y=0.99):
    """Stretched across an axis that is z: the diameters are those of the mean over the angle, within (x - y)^2 / 8 of (x + y) / 2; the
    flanks lean as in one or the other direction, or between."""
    m, truths = part
    m = m.copy()
    m.points = m.points * [x, y, 1]
    truths = copy.deepcopy(truths)
    for t in truths:
        for key in ("major_mm", "pitch_diameter_mm", "minor_mm"):
            t[key] *= (x + y) / 2
        t["flank_deg"] = [sorted(math.degrees(math.atan(math.tan(math.radians(a)) / s)) for s in (x, y)) for a in t["flank_deg"]]
    return m, truths


def scaled(part, by):
    m, truths = part
    m = m.copy()
    m.points = m.points * by
    truths = copy.deepcopy(truths)
    for t in truths:
        t["standard"] = ""
        for key, value in t.items():
            if key in ("lead_mm", "major_mm", "pitch_diameter_mm", "minor_mm"):
                t[key] = value * by
            elif key.endswith("_mm"):
                t[key] = [v * by for v in value]
    return m, truths


def worn(part, depth):
    """Crests of external threads about z are ground off by up to depth on the side of +x, nothing at 90 degrees from there.

    The major diameter is then between that of the worn and of the sound side."""
    m, truths = part
    m = m.copy()
    limit = max(t["major_mm"] for t in truths) / 2
    r = np.hypot(m.points[:, 0], m.points[:, 1])
    c = np.clip(m.points[:, 0] / np.maximum(r, 1e-9), 0, None)
    to = np.minimum(r, limit - depth * c)
    m.points[:, :2] *= (to / np.maximum(r, 1e-9))[:, None]
    truths = copy.deepcopy(truths)
    for t in truths:
        t["major_mm"] = [t["major_mm"] - 2 * depth, t["major_mm"]]
    return m, truths


def skin(part, degrees, tags=None, middle=90.0):
    """Only the faces within so many degrees about z stay, and with tags only those of such items: an open skin."""
    m, truths = part
    mid = m.points[m.faces].mean(axis=1)
    a = (np.degrees(np.arctan2(mid[:, 1], mid[:, 0])) - middle + 180) % 360 - 180
    keep = np.abs(a) <= degrees / 2
    if tags is not None:
        keep &= np.isin(m.tags, tags)
    used, back = np.unique(m.faces[keep], return_inverse=True)
    truths = copy.deepcopy(truths)
    for t in truths:
        t["share"] = degrees / 360
    return Mesh(m.points[used], back.reshape(-1, 3), m.tags[keep]), truths
