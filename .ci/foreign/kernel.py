"""What an exact kernel (.ci/sound.cpp, built) says of a part file whose equal corners are joined: None where the file is of a format not read here."""
import array
import gzip
import os
import struct
import subprocess
import tempfile


def read(path):
    """The corners of all faces, one after another, and None for formats with more to them."""
    data = gzip.open(path).read() if path.endswith(".gz") else open(path, "rb").read()
    path = path.removesuffix(".gz")
    if path.endswith(".stl"):
        n = struct.unpack("<I", data[80:84])[0] if len(data) >= 84 else -1
        if len(data) == 84 + 50 * n:
            out = []
            for k in range(n):
                c = struct.unpack_from("<9f", data, 84 + 50 * k + 12)
                out += [c[0:3], c[3:6], c[6:9]]
            return out
        return [single(line.split()[1:4]) for line in data.decode("latin1").splitlines() if line.lstrip().startswith("vertex")]
    if path.endswith(".obj"):
        points, faces = [], []
        for line in data.decode("latin1").splitlines():
            if line.startswith("v "):
                points.append(single(line.split()[1:4]))
            elif line.startswith("f "):
                f = [int(w.split("/")[0]) for w in line.split()[1:]]
                if len(f) > 3:  # how it is parted into triangles is the reader's
                    return None
                faces += [k - 1 if k > 0 else k + len(points) for k in f]
        return [points[k] for k in faces]
    return None


def single(words):
    return tuple(array.array("f", [float(w) for w in words]))


def judge(program, paths):
    """For each path whether it is sound, or None."""
    with tempfile.TemporaryDirectory() as d:
        told, lines = {p: None for p in paths}, {}
        for k, path in enumerate(paths):
            corners = read(path)
            if not corners:
                continue
            number = {}
            index = [number.setdefault(c, len(number)) for c in corners]
            faces = [f for f in zip(index[::3], index[1::3], index[2::3]) if len(set(f)) == 3]
            off = os.path.join(d, "%d.off" % k)
            with open(off, "w") as f:
                f.write("OFF\n%d %d 0\n" % (len(number), len(faces)))
                f.writelines("%.17g %.17g %.17g\n" % c for c in number)  # as they lie: nine digits tell a float32, but are another number
                f.writelines("3 %d %d %d\n" % t for t in faces)
            lines[off] = path
        if not lines:
            return told
        out = subprocess.run([program] + list(lines), capture_output=True, text=True, check=True).stdout
        for line in out.splitlines():
            path, _, rest = line.partition(" surface ")
            told[lines[path]] = "0" not in ("surface " + rest).split()[1::2][0:2] and "crosses 0" in rest and "outward 1" in rest
        return told
