"""The same bytes for the same brief, seed and nodes: plan, report, pictures, cut files, batch and comparison, from debug
and release builds, on 1, 2 and 8 threads, again and again (BUILDS_REPEATS times each, 1 unless set)."""

import hashlib
import os
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
REPEATS = int(os.environ.get("BUILDS_REPEATS", "1"))
NODES = os.environ.get("BUILDS_NODES", "60000")
BRIEFS = ["easy/lantern", "easy/tides", "easy/too-full", "medium/drawer", "medium/ferry", "hard/harbour"]
# Cut files of these are made too, with names on the panels and patterns on paper.
CUT = ["easy/lantern", "easy/tides", "medium/ferry"]


def build(profile):
    """The command of one build."""
    flags = ["--release"] if profile == "release" else []
    subprocess.run(["cargo", "build", "--quiet", *flags, "--package", "traywright-cli"], cwd=ROOT, check=True)
    target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", "target"))
    return ROOT / target / profile / "traywright"


def run(words, threads):
    """Exit code and what was printed."""
    done = subprocess.run(words, cwd=ROOT, capture_output=True, env={**os.environ, "RAYON_NUM_THREADS": str(threads)})
    return f"{done.returncode}\n".encode() + done.stdout


def files(folder):
    """Every file of a folder, by name; times are no part of what must be the same."""
    return {p.name: p.read_bytes() for p in sorted(pathlib.Path(folder).iterdir()) if p.name not in ("times.csv", "journal.jsonl")}


def scenario(command, brief, threads):
    """Everything that `plan` and `cut` write and print for one brief, by name."""
    with tempfile.TemporaryDirectory() as out:
        path, stem = f"scenarios/{brief}.toml", brief.split("/")[1]
        budget = ["--nodes", NODES, "--budget", "900s"]
        made = {"plan said": run([command, "plan", path, "--out", out, *budget], threads)}
        if brief in CUT:
            cut = [command, "cut", path, f"{out}/{stem}.plan.json", "--out", out, "--engrave", "--pattern"]
            made["cut said"] = run(cut, threads)
        return made | files(out)


def shop(command, threads):
    """Everything that `batch` and `compare` write and print for a short list."""
    with tempfile.TemporaryDirectory() as out:
        lines = [f"job-{i},{ROOT}/scenarios/easy/{b}.toml" for i, b in enumerate(["tides", "lantern", "too-full", "tides"])]
        jobs = pathlib.Path(out) / "jobs.csv"
        jobs.write_text("id,brief\n" + "\n".join(lines) + "\n")
        budget = ["--nodes", "4000", "--budget", "900s"]
        # The folder's name is told, so it is the same for all.
        said = run([command, "batch", jobs, "--out", f"{out}/batch", *budget], threads).replace(out.encode(), b"OUT")
        tables = [f"--{kind}={out}/batch/compare.{kind}" for kind in ("csv", "json", "html")]
        stocks = ["--stock", "scenarios/shop/stocks.csv"]
        table = run([command, "compare", "scenarios/easy/tides.toml", *stocks, *tables, *budget], threads)
        return {"batch said": said, "compare said": table} | files(f"{out}/batch")


def main():
    debug, release = build("debug"), build("release")
    wrong = runs = 0
    kinds = [(b, lambda c, t, b=b: scenario(c, b, t)) for b in BRIEFS] + [("batch and compare", shop)]
    for name, made in kinds:
        wanted = made(release, 1)
        digest = hashlib.sha256(b"".join(k.encode() + v for k, v in sorted(wanted.items()))).hexdigest()[:16]
        for command in (release, debug):
            for threads in (1, 2, 8):
                differ, again = set(), 0
                for _ in range(REPEATS):
                    other = made(command, threads)
                    again += 1
                    differ |= {n for n in wanted.keys() | other.keys() if wanted.get(n) != other.get(n)}
                runs += again
                wrong += len(differ)
                verdict = f"DIFFERENT {sorted(differ)}" if differ else "same"
                print(f"{name}: {command.parent.name}, {threads} threads, {again} times, {len(wanted)} outputs {digest}: {verdict}", flush=True)
    print(f"{runs} runs, {wrong} outputs that differ")
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main())
