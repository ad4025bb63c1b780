"""Makes the part files and their truth: make.py DIR [--share N] [--only KIND] writes DIR/teach and DIR/judge, each with a truth.json.

Of each kind every other file is to judge by. With --share every Nth file of a kind is made. What a modeller that is not installed
would make is left out and said."""
import argparse
import json
import multiprocessing
import os
import shutil
import sys
import time
import traceback
import formats

NEEDS = {"openscad": "openscad", "opencascade": "occt-draw-7.6", "blender": "blender", "gmsh": "gmsh"}


def listed(names):
    import cases
    import importlib
    for name in names:
        importlib.import_module(name)
    seen, out = {}, []
    for c in cases.CASES:
        k = seen[c["kind"]] = seen.get(c["kind"], -1) + 1
        out.append(dict(c, number=k, name="%s-%02d.%s" % (c["kind"], k, formats.ending(c["format"])), group="judge" if k % 2 else "teach"))
    return out


def make(c, to):
    start = time.time()
    path = os.path.join(to, c["group"], c["name"])
    if "write" in c:  # the modeller writes the file
        truths, faces = c["write"](path), None
    else:
        m, truths = c["make"]()
        formats.WRITERS[c["format"]](m, path)
        faces = len(m.faces)
    truth = {k: v for k, v in c.items() if k not in ("make", "write", "number")}
    truth.setdefault("unit", "mm")
    truth.setdefault("fault", "")
    truth.update(threads=truths, triangles=faces, seconds=round(time.time() - start, 2))
    return truth


def run(at):
    c = ALL[at]
    try:
        return make(c, TO)
    except Exception:
        return dict(name=c["name"], failed=traceback.format_exc())


def main():
    global ALL, TO
    p = argparse.ArgumentParser(description=__doc__)
    p.add_argument("dir")
    p.add_argument("--share", type=int, default=1)
    p.add_argument("--only", default="")
    p.add_argument("--without", default="", help="makers left out, with commas between")
    p.add_argument("--processes", type=int, default=2)
    a = p.parse_args()
    TO = a.dir
    here = os.path.dirname(os.path.abspath(__file__))
    ALL = listed([n for n in ("first", "brep", "mixer", "none", "unsound", "drawn") if os.path.exists(os.path.join(here, n + ".py"))])
    ALL = [c for c in ALL if (c["number"] // 2) % a.share == 0 and c["kind"].startswith(a.only)]
    ALL = [c for c in ALL if c["maker"] not in a.without.split(",")]
    missing = {m for m, tool in NEEDS.items() if any(c["maker"].startswith(m) for c in ALL) and not shutil.which(tool)}
    if missing:
        sys.exit("not installed: " + ", ".join(sorted(missing)) + "; --without leaves them out")
    for g in ("teach", "judge"):
        os.makedirs(os.path.join(TO, g), exist_ok=True)
    with multiprocessing.Pool(a.processes) as pool:
        done = pool.map(run, range(len(ALL)), chunksize=1)
    for d in done:
        if "failed" in d:
            print(d["name"], d["failed"], file=sys.stderr)
    for g in ("teach", "judge"):
        truth = [d for d in done if d.get("group") == g]
        path = os.path.join(TO, g, "truth.json")
        if a.only and os.path.exists(path):
            names = {d["name"] for d in truth}
            truth += [d for d in json.load(open(path)) if d["name"] not in names]
        with open(path + ".new", "w") as f:
            json.dump(sorted(truth, key=lambda d: d["name"]), f, indent=1, default=float)
        os.replace(path + ".new", path)
    print("%d files, %d failed" % (len(done), sum("failed" in d for d in done)))
    return any("failed" in d for d in done)


if __name__ == "__main__":
    sys.exit(main())
