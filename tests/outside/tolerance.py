#!/usr/bin/env python3
"""Holds `traywright tolerance` against SciPy: worst case, root of squares, chance and wanted play of every chain.

The chance of a chain is reckoned here without chance: its deviations are put together by convolution of their
densities on a fine grid (SciPy's own distributions), not by trials.
"""

import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy
from scipy import signal, stats

ROOT = pathlib.Path(__file__).resolve().parents[2]
STEP = 0.001  # mm


def frozen(shape, lo, hi):
    """SciPy's distribution of one deviation."""
    if shape in ("uniform", "thicker"):
        return stats.uniform(lo, hi - lo)
    if shape in ("normal", "thicker-normal"):
        return stats.norm((lo + hi) / 2, (hi - lo) / 6)
    if shape == "triangular":
        return stats.triang(0.5, lo, hi - lo)
    raise SystemExit(f"tolerance.py: {shape}?")


def masses(term):
    """Chances of a deviation on the grid, and the index of nothing."""
    shape, (lo, hi) = term["shape"], term["limits_mm"]
    d = frozen(shape, lo, hi)
    reach = 1 + math.ceil(max(abs(lo), abs(hi)) * (2 if "normal" in shape else 1) / STEP)
    edges = (numpy.arange(-reach, reach + 2) - 0.5) * STEP
    chance = numpy.diff(d.cdf(edges))
    if shape.startswith("thicker"):
        chance[reach] += chance[:reach].sum()
        chance[:reach] = 0
    return chance, reach


def together(terms):
    total, zero = numpy.ones(1), 0
    for term in terms:
        chance, reach = masses(term)
        total, zero = signal.fftconvolve(total, chance), zero + reach
    return numpy.clip(total, 0, None), zero


def look(name, report):
    bad = []
    trials = report["trials"]
    for c in report["chains"]:
        place = f"{c['direction']} {c['layer']} {c['bodies']}"
        # A part that stands out of its joint has nothing for its lower limit.
        limits = [(0.0 if t["shape"].startswith("thicker") else t["limits_mm"][0], t["limits_mm"][1]) for t in c["terms"]]
        worst = c["play_mm"] - sum(hi for _, hi in limits)
        squares = c["play_mm"] - sum((lo + hi) / 2 for lo, hi in limits) - math.sqrt(sum(((hi - lo) / 2) ** 2 for lo, hi in limits))
        for what, mine, theirs in [("worst", worst, c["worst_mm"]), ("squares", squares, c["squares_mm"])]:
            if abs(mine - theirs) > 1e-6:
                bad.append(f"{place}: {what} {theirs}, not {mine}")
        total, zero = together(c["terms"])
        sums = numpy.cumsum(total) / total.sum()
        at = lambda play: float(sums[min(max(zero + math.floor(play / STEP), 0), len(sums) - 1)])
        chance = at(c["play_mm"])
        # Five standard errors, and what half a step of the grid may move.
        error = 5 * math.sqrt(max(chance * (1 - chance), 1 / trials) / trials) + abs(at(c["play_mm"] + STEP) - at(c["play_mm"] - STEP)) + 1e-6
        if abs(chance - c["chance"]) > error:
            bad.append(f"{place}: chance {c['chance']}, not {chance:.5f} ± {error:.5f}")
        reached = at(c["play_mm"] + c["wants_mm"])
        error = 5 * math.sqrt(report["level"] * (1 - report["level"]) / trials) + 0.001
        if reached < report["level"] - error or c["wants_mm"] > 0 and reached > report["level"] + error:
            bad.append(f"{place}: {c['wants_mm']} mm more bring {reached:.5f}")
    lowest = min(c["chance"] for c in report["chains"])
    if report["chance"] > lowest:
        bad.append(f"all together are surer ({report['chance']}) than the least sure chain ({lowest})")
    print(f"{'FAIL' if bad else 'ok'}  {name}: {len(report['chains'])} chains")
    for b in bad[:10]:
        print("      " + b)
    return not bad, len(report["chains"])


def main():
    good, seen = [], 0
    with tempfile.TemporaryDirectory(prefix="tolerance-") as folder:
        for brief in ["easy/lantern", "medium/ferry", "medium/moored", "medium/drawer"]:
            path, stem = ROOT / "scenarios" / f"{brief}.toml", pathlib.Path(brief).name
            program = os.environ["TRAYWRIGHT"]
            subprocess.run([program, "plan", path, "--out", folder, "--nodes", "150000"], check=True, stdout=subprocess.DEVNULL)
            for spread in ("uniform", "normal"):
                for cutting in ([], ["--assume", "cutting=1.2 mm"]):
                    out = pathlib.Path(folder) / "t.json"
                    words = [program, "tolerance", path, f"{folder}/{stem}.plan.json", "--json", out]
                    words += ["--assume", f"spread={spread}", "--assume", "trials=100000", *cutting]
                    subprocess.run(words, check=True, stdout=subprocess.DEVNULL)
                    fine, chains = look(f"{stem}, {spread}{' '.join(['', *cutting])}", json.loads(out.read_text()))
                    good.append(fine)
                    seen += chains
    if seen < 50:
        print(f"FAIL  only {seen} chains were looked at")
        good.append(False)
    return 0 if all(good) else 1


if __name__ == "__main__":
    sys.exit(main())
