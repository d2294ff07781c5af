#!/usr/bin/env python3
"""Published bin-packing cases: our sheets beside rectpack (PyPI), in one run on one machine.

    sheets.py FOLDER [--cases PART] [--seconds SECONDS]

FOLDER holds `2bp_class*.json`. `cargo` (or the command in the variable CARGO) builds and runs the bench `sheets`. rectpack gets
every pairing of four of its offline algorithms with two sortings, and the best of all counts, with the time of all; where cuts
are straight, four of its guillotine algorithms. Every layout of rectpack is checked: inside the sheet, no two share area, none is
missing. Without rectpack only ours is printed, and the script says so.
"""

import argparse
import json
import os
import pathlib
import subprocess
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
MODES = ["fixed", "turning", "fixed, straight cuts", "turning, straight cuts"]

FREE = ["MaxRectsBssf", "MaxRectsBaf", "MaxRectsBl", "SkylineMwfWm"]
STRAIGHT = ["GuillotineBssfSas", "GuillotineBssfMaxas", "GuillotineBafLas", "GuillotineBlsfLlas"]


def ours(folder, cases, seconds):
    with tempfile.TemporaryDirectory() as room:
        out = pathlib.Path(room) / "sheets.json"
        command = [os.environ.get("CARGO", "cargo"), "run", "--quiet", "--release", "--package", "traywright-benches"]
        command += ["--bin", "sheets", "--", folder, "--cases", cases, "--seconds", str(seconds), "--json", str(out)]
        done = subprocess.run(command, cwd=ROOT, text=True, stdout=subprocess.PIPE)
        if done.returncode:
            raise SystemExit(done.stdout + "sheets.py: the bench failed")
        return json.loads(out.read_text())


def check(packer, case):
    seen = set()
    width, depth = case["bin"]
    for sheet in packer:
        rects = [(r.x, r.y, r.x + r.width, r.y + r.height) for r in sheet]
        for i, a in enumerate(rects):
            if a[0] < 0 or a[1] < 0 or a[2] > width or a[3] > depth:
                return False
            if any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for b in rects[:i]):
                return False
        seen.update(r.rid for r in sheet)
    return len(seen) == case["n"]


def peer(rectpack, case, turning, straight):
    """Least sheets of all algorithms and sortings, and the seconds of all."""
    names = STRAIGHT if straight else FREE
    algorithms = [getattr(rectpack, name) for name in names]
    sortings = [rectpack.SORT_AREA, rectpack.SORT_LSIDE]
    start, best = time.perf_counter(), None
    for algorithm in algorithms:
        for sorting in sortings:
            packer = rectpack.newPacker(
                rectpack.PackingMode.Offline, rectpack.PackingBin.BBF, algorithm, sorting, rotation=turning
            )
            packer.add_bin(*case["bin"], count=float("inf"))
            for i, (w, d) in enumerate(case["items"]):
                packer.add_rect(w, d, i)
            packer.pack()
            if check(packer, case) and (best is None or len(packer) < best):
                best = len(packer)
    return best, time.perf_counter() - start


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("folder")
    parser.add_argument("--cases", default="")
    parser.add_argument("--seconds", type=float, default=0.95)
    args = parser.parse_args()
    folder = pathlib.Path(args.folder).resolve()
    files = sorted(folder.glob("2bp_class*.json"))
    if not files:
        print(f"{folder}: no 2bp_class*.json: nothing measured")
        return
    cases = {c["name"]: (f["cls"], c) for f in map(lambda p: json.loads(p.read_text()), files) for c in f["instances"]}
    results = ours(str(folder), args.cases, args.seconds)
    try:
        import rectpack
    except ImportError:
        rectpack = None
        print("rectpack is not installed (benches/peers/requirements.txt): ours alone")
    print("| set | cases | best known | ours | mean | rectpack | mean |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for mode in MODES:
        rows = {}
        for r in (r for r in results if r["mode"] == mode):
            cls, case = cases[r["case"]]
            theirs = peer(rectpack, case, mode.startswith("turning"), "straight" in mode) if rectpack else (None, 0.0)
            for key in (f"class {cls}", "all"):
                row = rows.setdefault(key, [0, 0, 0, 0.0, 0, 0.0])
                add = [1, r["best"], r["ours"], r["seconds"], theirs[0] or 0, theirs[1]]
                rows[key] = [a + b for a, b in zip(row, add)]
        for key in sorted(rows, key=lambda k: (k == "all", k)):
            n, best, mine, seconds, theirs, their_seconds = rows[key]
            right = f"{theirs} | {their_seconds / n:.2f} s" if rectpack else "absent | "
            print(f"| {key}, {mode} | {n} | {best} | {mine} | {seconds / n:.2f} s | {right} |", flush=True)


if __name__ == "__main__":
    main()
