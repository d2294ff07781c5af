"""HiGHS solves our MPS models of three small jobs to the optima that we found ourselves."""

import json
import pathlib
import subprocess
import sys

import highspy

ROOT = pathlib.Path(__file__).resolve().parents[2]
FOLDER = ROOT / "target" / "outside" / "models"
# HiGHS's own tolerances are 1e-6 in the units of the model.
TOLERANCE = 1e-6


def optimum(path):
    """Status and objective of HiGHS for an MPS file, with no gap left."""
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 1e-9)
    highs.setOptionValue("threads", 1)
    if highs.readModel(str(path)) != highspy.HighsStatus.kOk:
        return "unreadable", None
    highs.run()
    return highs.modelStatusToString(highs.getModelStatus()), highs.getInfo().objective_function_value


def main():
    subprocess.run(
        ["cargo", "run", "--quiet", "--release", "--package", "traywright-tests", "--example", "write_models", "--", str(FOLDER)],
        cwd=ROOT,
        check=True,
    )
    jobs = json.loads((FOLDER / "optima.json").read_text())
    if len(jobs) < 3:
        print("fewer than three models were written")
        return 1
    wrong = 0
    for job in jobs:
        status, objective = optimum(FOLDER / f"{job['name']}.mps")
        ours = job["value"] / job["unit"]
        same = status == "Optimal" and abs(objective - ours) <= TOLERANCE
        print(f"{job['name']}: ours {ours:.9f}, HiGHS {objective} ({status}): {'same' if same else 'DIFFERENT'}")
        wrong += not same
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main())
