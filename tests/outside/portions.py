#!/usr/bin/env python3
"""Runs the two scripts of docs/shop.md, GNU parallel and a job array, and holds what `join` makes against one run.

Takes the scripts from the page itself. The scheduler of the array is played by a loop that sets its variables.
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]


def scripts():
    """The page's scripts: the one with GNU parallel, and the array."""
    page = (ROOT / "docs/shop.md").read_text(encoding="utf-8")
    blocks = re.findall(r"```bash\n(.*?)```", page, re.S)
    parallel = [b for b in blocks if b.startswith("parallel ")]
    array = [b for b in blocks if "#SBATCH" in b]
    if len(parallel) != 1 or len(array) != 1:
        raise SystemExit("portions.py: the page has lost its scripts")
    return parallel[0], array[0]


def run(script, folder, **variables):
    """Runs a script; a portion without a plan for some job ends with another code than 0, which is none of ours."""
    environment = os.environ | variables
    environment["PATH"] = f"{folder / 'bin'}:{environment['PATH']}"
    return subprocess.run(["bash", "-c", script], cwd=folder, env=environment, capture_output=True, text=True)


def files(folder):
    return {p.name: p.read_bytes() for p in sorted(folder.iterdir()) if p.name != "times.csv"}


def same(name, one, other):
    a, b = files(one), files(other)
    bad = sorted(set(a) ^ set(b)) + [n for n in a if n in b and a[n] != b[n]]
    print(f"{'FAIL' if bad else 'ok'}  {name}: {len(a)} files" + "".join(f"\n      differs: {n}" for n in bad))
    return not bad


def main():
    if not shutil.which("parallel"):
        raise SystemExit("portions.py: GNU parallel is not installed")
    parallel, array = scripts()
    with tempfile.TemporaryDirectory(prefix="portions-") as name:
        folder = pathlib.Path(name)
        (folder / "bin").mkdir()
        (folder / "bin/traywright").symlink_to(os.environ["TRAYWRIGHT"])
        tides = ROOT / "scenarios/easy/tides.toml"
        rows = [f"job-{i},{tides},{152 + i % 7},{106 + i % 3},{38 + i % 4}" for i in range(22)]
        heading = "id,brief,interior.width,interior.depth,interior.height"
        (folder / "jobs.csv").write_text("\n".join([heading, *rows, "lost,none.toml,,,"]) + "\n")
        whole = run("traywright batch jobs.csv --nodes 20000 --out whole", folder)
        if whole.returncode != 3 or "22 with a plan" not in whole.stdout:
            raise SystemExit(f"portions.py: {whole.stdout}{whole.stderr}")
        good = []
        done = run(parallel, folder)
        good.append(same("GNU parallel", folder / "whole", folder / "night/all") if (folder / "night/all").is_dir() else None)
        if good[-1] is None:
            print(f"FAIL  GNU parallel\n{done.stdout}{done.stderr}")
        shutil.rmtree(folder / "night", ignore_errors=True)
        count = re.search(r"--array=1-(\d+)", array).group(1)
        for task in range(1, int(count) + 1):
            task = dict(SLURM_ARRAY_TASK_ID=str(task), SLURM_ARRAY_TASK_COUNT=count, SLURM_CPUS_PER_TASK="2")
            # Sent off twice, as after a kill: the second time nothing is left to do.
            for _ in range(2):
                done = run(array, folder, **task)
        if "are done already" not in done.stderr:
            print(f"FAIL  job array: not resumed\n{done.stderr}")
            good.append(False)
        done = run(f"traywright join night/* --out night/all", folder)
        good.append(same("job array", folder / "whole", folder / "night/all") if (folder / "night/all").is_dir() else None)
        if good[-1] is None:
            print(f"FAIL  job array\n{done.stdout}{done.stderr}")
    return 0 if all(good) else 1


if __name__ == "__main__":
    sys.exit(main())
