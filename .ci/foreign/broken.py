"""Files that bound no solid, or not the one that was meant: each takes a sound mesh and spoils it in a way of its own."""
import numpy as np
from sweep import Mesh, join


def moved(m, shift):
    m = m.copy()
    m.points = m.points + np.asarray(shift)
    return m


def flipped(m):
    m = m.copy()
    m.faces = m.faces[:, ::-1].copy()
    return m


def shrunk(m, by):
    """Scaled about the middle of its box."""
    mid = (m.points.min(0) + m.points.max(0)) / 2
    m = m.copy()
    m.points = mid + (m.points - mid) * by
    return m


def holes(m, count, seed):
    g = np.random.default_rng(seed)
    keep = np.ones(len(m.faces), bool)
    keep[g.choice(len(m.faces), count, replace=False)] = False
    return Mesh(m.points, m.faces[keep], m.tags[keep])


def some_flipped(m, count, seed):
    g = np.random.default_rng(seed)
    m = m.copy()
    pick = g.choice(len(m.faces), count, replace=False)
    m.faces[pick] = m.faces[pick][:, ::-1]
    return m


def doubled(m, count, seed):
    g = np.random.default_rng(seed)
    pick = g.choice(len(m.faces), count, replace=False)
    return Mesh(m.points, np.concatenate([m.faces, m.faces[pick]]), np.concatenate([m.tags, m.tags[pick]]))


def t_joints(m, count, seed):
    """Halves a face's longest edge, the neighbour's not."""
    g = np.random.default_rng(seed)
    points, faces, tags = list(m.points), [list(f) for f in m.faces], list(m.tags)
    for k in g.choice(len(m.faces), count, replace=False):
        f = faces[k]
        length = [np.linalg.norm(points[f[i]] - points[f[(i + 1) % 3]]) for i in range(3)]
        i = int(np.argmax(length))
        a, b, c = f[i], f[(i + 1) % 3], f[(i + 2) % 3]
        points.append((points[a] + points[b]) / 2)
        faces[k] = [a, len(points) - 1, c]
        faces.append([len(points) - 1, b, c])
        tags.append(tags[k])
    return Mesh(np.array(points), np.array(faces), tags)


def soup(m, jitter, seed):
    """Each face with corners of its own, each shaken."""
    g = np.random.default_rng(seed)
    corners = m.points[m.faces].reshape(-1, 3)
    return Mesh(corners + g.uniform(-jitter, jitter, corners.shape), np.arange(len(corners)).reshape(-1, 3), m.tags)


def open_end(m, z, above=True):
    """Without the faces beyond a height."""
    mid = m.points[m.faces].mean(1)[:, 2]
    keep = mid < z if above else mid > z
    return Mesh(m.points, m.faces[keep], m.tags[keep])


def pushed(m, seed, far):
    """A few vertices pulled through the other side."""
    g = np.random.default_rng(seed)
    m = m.copy()
    k = g.integers(len(m.points))
    mid = (m.points.min(0) + m.points.max(0)) / 2
    m.points[k] = mid + (mid - m.points[k]) * far
    return m


def both(a, b):
    return join(a, b)
