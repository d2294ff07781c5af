"""Debug and release builds write the same bytes for the same brief, seed and nodes, on one thread and on eight."""

import os
import pathlib
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
NODES = "150000"
BRIEFS = ["easy/lantern", "easy/tides", "easy/too-full", "medium/drawer", "medium/ferry", "hard/harbour"]


def build(profile):
    """The command of one build."""
    flags = ["--release"] if profile == "release" else []
    subprocess.run(["cargo", "build", "--quiet", *flags, "--package", "traywright-cli"], cwd=ROOT, check=True)
    target = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", "target"))
    return ROOT / target / profile / "traywright"


def made(command, brief, threads):
    """Everything that a run writes and prints, by name."""
    with tempfile.TemporaryDirectory() as out:
        words = [command, "plan", f"scenarios/{brief}.toml", "--out", out, "--nodes", NODES, "--budget", "600s"]
        run = subprocess.run(words, cwd=ROOT, capture_output=True, env={**os.environ, "RAYON_NUM_THREADS": str(threads)})
        files = {path.name: path.read_bytes() for path in pathlib.Path(out).iterdir()}
        return {"exit code": run.returncode, "stdout": run.stdout, **files}


def main():
    debug, release = build("debug"), build("release")
    wrong = 0
    for brief in BRIEFS:
        wanted = made(release, brief, 1)
        for command, threads in [(release, 8), (debug, 1), (debug, 8)]:
            other = made(command, brief, threads)
            differ = sorted(name for name in wanted.keys() | other.keys() if wanted.get(name) != other.get(name))
            wrong += len(differ)
            verdict = f"DIFFERENT {differ}" if differ else "same"
            print(f"{brief}: {command.parent.name} on {threads} threads, {len(other)} outputs: {verdict}")
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main())
