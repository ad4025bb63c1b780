"""Part files as programs write them: STL binary and text, OBJ, PLY binary and text, 3MF with components, gzip."""
import gzip
import struct
import zipfile
import numpy as np


def normals(m):
    p = m.points
    n = np.cross(p[m.faces[:, 1]] - p[m.faces[:, 0]], p[m.faces[:, 2]] - p[m.faces[:, 0]])
    size = np.linalg.norm(n, axis=1, keepdims=True)
    return n / np.where(size > 0, size, 1)


def stl(m, path, header=b"part"):
    kind = np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    out = np.zeros(len(m.faces), kind)
    out["n"], out["v"] = normals(m), m.points[m.faces]
    with open(path, "wb") as f:
        f.write(header.ljust(80, b" ") + struct.pack("<I", len(m.faces)) + out.tobytes())


def stl_text(m, path, end="\n", name="part", number="%g"):
    lines = ["solid " + name]
    three = " ".join([number] * 3)
    for normal, corners in zip(normals(m), m.points[m.faces]):
        lines += ["  facet normal " + three % tuple(normal), "    outer loop"]
        lines += ["      vertex " + three % tuple(c) for c in corners] + ["    endloop", "  endfacet"]
    with open(path, "w", newline="") as f:
        f.write(end.join(lines + ["endsolid " + name, ""]))


def obj(m, path, style="plain"):
    with open(path, "w") as f:
        f.write("# part\nmtllib part.mtl\no part\n")
        f.writelines("v %.6f %.6f %.6f\n" % tuple(p) for p in m.points)
        if style == "normals":
            f.writelines("vn %.4f %.4f %.4f\n" % tuple(n) for n in normals(m))
            f.write("usemtl steel\ns off\n")
            f.writelines("f %d//%d %d//%d %d//%d\n" % (a, k, b, k, c, k) for k, (a, b, c) in enumerate(m.faces + 1, 1))
        elif style == "behind":  # indices counted from the end
            n = len(m.points)
            f.writelines("f %d %d %d\n" % tuple(t - n) for t in m.faces)
        else:
            f.writelines("f %d %d %d\n" % tuple(t) for t in m.faces + 1)


def ply(m, path, text=False):
    head = "ply\nformat %s 1.0\ncomment part\nelement vertex %d\nproperty float x\nproperty float y\nproperty float z\n" \
           "element face %d\nproperty list uchar int vertex_indices\nend_header\n" % (
               "ascii" if text else "binary_little_endian", len(m.points), len(m.faces))
    with open(path, "wb") as f:
        f.write(head.encode())
        if text:
            f.writelines(b"%.6f %.6f %.6f\n" % tuple(p) for p in m.points)
            f.writelines(b"3 %d %d %d\n" % tuple(t) for t in m.faces)
            return
        f.write(m.points.astype("<f4").tobytes())
        out = np.zeros(len(m.faces), np.dtype([("n", "u1"), ("v", "<i4", 3)]))
        out["n"], out["v"] = 3, m.faces
        f.write(out.tobytes())


CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"


def threemf(m, path, unit="millimeter", move=None, component=False):
    """move is a 3 x 4 matrix (rows of the rotation, then the shift) that a build item or a component places the mesh with: the file's
    mesh is taken back by it, so that the part as read is m."""
    points = m.points
    transform = ""
    if move is not None:
        turn, shift = np.asarray(move[:3]), np.asarray(move[3])
        points = (points - shift) @ np.linalg.inv(turn)
        transform = ' transform="%s"' % " ".join("%.9g" % v for v in np.concatenate([turn.reshape(-1), shift]))
    body = ['<?xml version="1.0" encoding="UTF-8"?>\n<model unit="%s" xml:lang="en-US" xmlns="%s"><resources><object id="1" type="model"><mesh><vertices>' % (unit, CORE)]
    body += ['<vertex x="%.7g" y="%.7g" z="%.7g"/>' % tuple(p) for p in points]
    body.append("</vertices><triangles>")
    body += ['<triangle v1="%d" v2="%d" v3="%d"/>' % tuple(t) for t in m.faces]
    body.append("</triangles></mesh></object>")
    if component:
        body.append('<object id="2" type="model"><components><component objectid="1"%s/></components></object></resources><build><item objectid="2"/></build></model>' % transform)
    else:
        body.append('</resources><build><item objectid="1"%s/></build></model>' % transform)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as z:
        z.writestr("[Content_Types].xml", '<?xml version="1.0" encoding="UTF-8"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>')
        z.writestr("_rels/.rels", '<?xml version="1.0" encoding="UTF-8"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="r1" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>')
        z.writestr("3D/3dmodel.model", "".join(body))


def zipped(m, path):
    stl(m, path + ".tmp")
    import os
    with open(path + ".tmp", "rb") as a, gzip.open(path, "wb") as b:
        b.write(a.read())
    os.remove(path + ".tmp")


WRITERS = {
    "stl": stl, "stl-text": stl_text, "stl-crlf": lambda m, p: stl_text(m, p, "\r\n"), "stl-e": lambda m, p: stl_text(m, p, number="%.6e"),
    "obj": obj, "obj-normals": lambda m, p: obj(m, p, "normals"), "obj-behind": lambda m, p: obj(m, p, "behind"),
    "ply": ply, "ply-text": lambda m, p: ply(m, p, True), "3mf": threemf, "stl.gz": zipped,
    "3mf-moved": lambda m, p: threemf(m, p, move=[[0, 1, 0], [-1, 0, 0], [0, 0, 1], [12, -7, 3]], component=True),
    "3mf-inch": lambda m, p: threemf(m, p, "inch"),
}


def ending(kind):
    return kind.split("-")[0]


def read_stl(path):
    """Corners (n, 3, 3) of an STL file that a modeller wrote."""
    data = open(path, "rb").read()
    if data[:5] == b"solid" and b"facet" in data[:400]:
        words = data.split()
        at = [k for k, w in enumerate(words) if w == b"vertex"]
        return np.array([[float(words[k + j]) for j in (1, 2, 3)] for k in at]).reshape(-1, 3, 3)
    n = struct.unpack("<I", data[80:84])[0]
    kind = np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    return np.frombuffer(data, kind, n, 84)["v"].astype(float)


def read_mesh(path):
    from sweep import weld
    corners = read_stl(path).reshape(-1, 3)
    return weld(corners, np.arange(len(corners)).reshape(-1, 3), np.full(len(corners) // 3, -1))
