"""Has tryring read pictures that sheet.py made, each alone and with the one from the other side, and says how they came out: judge.py TRYRING DIR.
A figure is held where the truth lies within the 95 % interval."""

import glob
import json
import os
import subprocess
import sys

rows, worst = {}, []
near = sorted(glob.glob(sys.argv[2] + "/*[0-9].json"), key=lambda n: int(os.path.basename(n)[:-5]))
for name, others in [(n, []) for n in near] + [(n, [n[:-5] + "b.jpg"]) for n in near if os.path.exists(n[:-5] + "b.jpg")]:
    truth = json.load(open(name))
    run = subprocess.run([sys.argv[1], "photo", name[:-4] + "jpg", *others, "--line", f"{truth['line_mm']}mm+-0.2", "--json"], capture_output=True, text=True)
    said = json.loads(run.stdout)
    lit = "lit as asked" if truth.get("follows") or truth["light"] == "flash" else truth["light"] + " anywhere"
    for key in ("all from both sides",) if others else ("all", lit, truth["material"], f"{truth['rise_deg'] // 20 * 20:.0f} to {truth['rise_deg'] // 20 * 20 + 20:.0f} degrees"):
        r = rows.setdefault(key, dict(n=0, sheet=0, pitch=0, p08=0, held=0, d=0, d02=0, dheld=0))
        r["n"] += 1
        r["sheet"] += said["sheet_found"]
        if not said["answered"]:
            continue
        p, d = truth["pitch_mm"], truth["diameter_mm"]
        r["pitch"] += 1
        r["p08"] += abs(said["pitch_mm"] / p - 1) < 0.008
        r["held"] += said["pitch_95_mm"][0] <= p <= said["pitch_95_mm"][1]
        if said["diameter_mm"]:
            r["d"] += 1
            r["d02"] += abs(said["diameter_mm"] - d) < 0.2
            r["dheld"] += said["diameter_95_mm"][0] <= d <= said["diameter_95_mm"][1]
    off = "refused: " + said["refusals"][0]["why"] if not said["answered"] else f"pitch {100 * (said['pitch_mm'] / truth['pitch_mm'] - 1):+.2f} %" + (
        f" u {100 * said['u_pitch_mm'] / truth['pitch_mm']:.2f}, diameter {said['diameter_mm'] - truth['diameter_mm']:+.2f} u {said['u_diameter_mm']:.2f}" if said["diameter_mm"] else f" u {100 * said['u_pitch_mm'] / truth['pitch_mm']:.2f}")
    print(os.path.basename(name), *["from both sides"] * len(others), truth["material"], lit, f"{truth['rise_deg']:.0f} degrees, {truth['diameter_mm']:.1f} x {truth['pitch_mm']:.3f}: {off}", file=sys.stderr)
print("| pictures | | sheet found | pitch told | within 0.8 % | held | diameter told | within 0.2 mm | held |")
print("| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
for key in ["all"] + sorted(k for k in rows if k != "all"):
    r = rows[key]
    print(f"| {key} | {r['n']} | {r['sheet']} | {r['pitch']} | {r['p08']} | {r['held']} | {r['d']} | {r['d02']} | {r['dheld']} |")
