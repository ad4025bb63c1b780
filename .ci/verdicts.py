# Compares our verdicts of soundness with those of an exact kernel:
#   verdicts.py FOLDER KERNEL [MANIFOLD]
# FOLDER holds NAME.json of TestVerdictsForTheKernel, KERNEL is what .ci/sound.cpp printed, and MANIFOLD the names that manifold-3d takes
# for closed and oriented. Ends with 1 where one differs.
import json
import os
import sys

folder, kernel = sys.argv[1:3]
taken = set(open(sys.argv[3]).read().split("\n")) if len(sys.argv) > 3 else None
said, off, sound, crossing = 0, 0, 0, 0
for line in open(kernel):
    words = line.split()
    name = os.path.basename(line.split(" surface ")[0])[: -len(".off")]
    k = dict(zip(words[-10::2], (w == "1" for w in words[-9::2])))
    s = json.load(open(os.path.join(folder, name + ".json")))
    surface = s["nonmanifold_edges"] == 0 and s["misoriented_edges"] == 0
    ours = {"surface": surface, "sound": s["sound"]}
    theirs = {"surface": k["surface"], "sound": k["outward"]}
    if surface and k["surface"]:
        ours["closed"], theirs["closed"] = s["open_edges"] == 0, k["closed"]
        # The kernel takes a face without area, and a vertex at which two fans stand, for a crossing; we count them apart.
        ours["crosses"] = s["self_intersections"] + s["degenerate"] + s["repeated_faces"] + s["pinched_vertices"] > 0
        theirs["crosses"] = k["crosses"]
        if s["pinched_vertices"] and s["sound"]:
            theirs["sound"] = True
    # manifold-3d takes an edge of four faces for two edges, where they run along it twice each way.
    if taken is not None and s["nonmanifold_edges"] == 0:
        ours["oriented"] = surface and s["open_edges"] == 0
        theirs["oriented"] = name in taken
    said += 1
    sound += s["sound"]
    crossing += s["self_intersections"] > 0
    if ours != theirs:
        off += 1
        print(name, "ours", ours, "theirs", theirs, {x: n for x, n in s.items() if isinstance(n, int) and n})
print(f"{said} meshes judged alike but for {off}; {sound} sound, {crossing} that cross themselves")
sys.exit(off > 0 or sound < 20 or crossing < 20)
