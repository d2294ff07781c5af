"""HiGHS solves our MPS models again: the same optimum where we claim one, no layout where we say that there is none.

How many random models of each kind is said by HIGHS_MODELS (40 unless set), beside three chosen ones.
"""

import collections
import json
import os
import pathlib
import shutil
import subprocess
import sys

import highspy

ROOT = pathlib.Path(__file__).resolve().parents[2]
FOLDER = ROOT / "target" / "outside" / "models"
COUNT = os.environ.get("HIGHS_MODELS", "40")
# HiGHS's own tolerances are 1e-6 in the units of the model.
TOLERANCE = 1e-6
# Seconds for one model; those that take longer are counted as open.
LIMIT = 20.0


def solved(path):
    """Status and objective of HiGHS for an MPS file, with no gap left."""
    highs = highspy.Highs()
    for option, value in [
        ("output_flag", False),
        ("mip_rel_gap", 0.0),
        ("mip_abs_gap", 1e-9),
        ("threads", 1),
        ("time_limit", LIMIT),
    ]:
        highs.setOptionValue(option, value)
    if highs.readModel(str(path)) != highspy.HighsStatus.kOk:
        return "unreadable", None
    highs.run()
    return highs.modelStatusToString(highs.getModelStatus()), highs.getInfo().objective_function_value


def verdict(job, status, objective):
    """What comes of one comparison; a word in capitals is a disagreement."""
    value, bound = (None if job[k] is None else job[k] / job["unit"] for k in ("value", "bound"))
    if status == "Infeasible":
        if value is not None:
            return "A LAYOUT WHERE THERE IS NONE"
        return "none, proven by both" if bound is None else "none, not proven by us"
    if status != "Optimal":
        return "open" if status == "Time limit reached" else f"UNEXPECTED: {status}"
    if not job["complete"]:
        return "only some heights: not compared"
    if bound is None:
        return "SAID TO BE IMPOSSIBLE"
    if bound > objective + TOLERANCE:
        return "A BOUND ABOVE THE OPTIMUM"
    if value is None:
        return "missed"
    if value < objective - TOLERANCE:
        return "A VALUE BELOW THE OPTIMUM"
    if value > objective + TOLERANCE:
        return "not proven, worse" if bound < value else "PROVEN, BUT NOT THE OPTIMUM"
    return "same, proven by both" if bound == value else "same, not proven by us"


def main():
    shutil.rmtree(FOLDER, ignore_errors=True)
    words = ["cargo", "run", "--quiet", "--package", "traywright-tests", "--example", "write_models"]
    subprocess.run([*words, "--", str(FOLDER), COUNT], cwd=ROOT, check=True)
    jobs = json.loads((FOLDER / "optima.json").read_text())
    tally, wrong = collections.Counter(), 0
    for job in jobs:
        status, objective = solved(FOLDER / f"{job['name']}.mps")
        said = verdict(job, status, objective)
        kind = job["name"].rstrip("-0123456789")
        tally[kind if kind in ("problem", "brief") else "chosen", said] += 1
        if any(word.isupper() and len(word) > 1 for word in said.split()):
            wrong += 1
            print(f"{job['name']}: {said}: ours {job}, HiGHS {objective} ({status})")
    for (kind, said), n in sorted(tally.items()):
        print(f"{kind:8} {n:5}  {said}")
    sure = sum(n for (_, said), n in tally.items() if "by both" in said)
    print(f"{len(jobs)} models, {sure} with the same proven answer, {wrong} disagreements")
    return int(wrong > 0 or sure * 2 < len(jobs) or len(jobs) < 3)


if __name__ == "__main__":
    sys.exit(main())
