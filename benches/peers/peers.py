#!/usr/bin/env python3
"""Layout cases: our placement search, HiGHS on the very same model and CP-SAT on an equivalent one, side by side.

    peers.py FOLDER [--cases PART] [--ours SECONDS] [--limit SECONDS] [--workers N] [--solvers highs,cpsat]

FOLDER holds the cases. `cargo` (or the command in the variable CARGO) builds and runs the bench `layouts`, which
measures ours and writes the models as MPS files. HiGHS reads these; CP-SAT gets optional intervals and a no-overlap
for each layer (`linearization_level` 2: without it its bounds stay far off). All run one after another with the
same number of threads. Every plan of CP-SAT is checked against the rules of the case.

Printed for each case and solver: value, bound, gap, when its first plan and its last better one came, when it was
proven or stopped, and how many times sooner our search held a value at least as good as the peer's last. A time is
taken when the solver reports; reading or building a model is not counted for either peer.
"""

import argparse
import json
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]


def bench(*args):
    """Runs the bench `layouts`; its output is shown where it measures."""
    cargo = os.environ.get("CARGO", "cargo")
    command = [cargo, "run", "--quiet", "--release", "--package", "traywright-benches", "--bin", "layouts", "--", *map(str, args)]
    done = subprocess.run(command, cwd=ROOT, text=True, stdout=subprocess.PIPE)
    if done.returncode:
        raise SystemExit(done.stdout + "peers.py: the bench failed")


class Answer:
    """What a solver reported. `times` are (seconds, value), each better than the one before."""

    def __init__(self):
        self.times, self.bound, self.state, self.seconds = [], None, "", 0.0

    @property
    def value(self):
        return self.times[-1][1] if self.times else None

    def improve(self, seconds, value):
        if not self.times or value < self.times[-1][1]:
            self.times.append((seconds, value))


def ours(report):
    answer = Answer()
    for seconds, value, bound in report["moments"]:
        answer.seconds, answer.bound = seconds, bound
        if value is not None:
            answer.improve(seconds, value)
        if bound is None or bound == value:
            answer.state = "no plan" if bound is None else "proven"
            break
    return answer


def highs(path, limit, workers):
    """HiGHS on the model file. Its objective is in parts of the box; the file's head says how many cubed steps one is."""
    import highspy

    with open(path, encoding="ascii") as lines:
        unit = next(int(word) for line in lines if "cubed grid steps" in line for word in line.split() if word.isdigit())
    solver = highspy.Highs()
    for name, value in {
        "log_to_console": False,
        "output_flag": False,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 1e-9,
        "threads": workers,
        "time_limit": float(limit),
    }.items():
        solver.setOptionValue(name, value)
    if solver.readModel(str(path)) != highspy.HighsStatus.kOk:
        raise SystemExit(f"peers.py: HiGHS cannot read {path}")
    answer = Answer()
    start = time.perf_counter()

    def better(event):
        answer.improve(time.perf_counter() - start, round(event.data_out.objective_function_value * unit))

    solver.cbMipImprovingSolution += better
    solver.run()
    answer.seconds = time.perf_counter() - start
    info, state = solver.getInfo(), solver.getModelStatus()
    if info.primal_solution_status == 2:
        answer.improve(answer.seconds, round(info.objective_function_value * unit))
    if abs(info.mip_dual_bound) < 1e30:
        answer.bound = round(info.mip_dual_bound * unit)
    if state == highspy.HighsModelStatus.kOptimal:
        answer.state, answer.bound = "proven", answer.value
    elif state == highspy.HighsModelStatus.kInfeasible:
        answer.state, answer.bound = "no plan", None
    return answer


def cpsat(case, limit, workers):
    """CP-SAT: a choice for each tray, layer, layer height and outline; a no-overlap and area cuts for each layer."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    width, depth, gap, heights, layers = case["w"], case["d"], case["gap"], case["heights"], range(case["lmax"])
    is_high = [{h: model.new_bool_var("") for h in heights} for _ in layers]
    for l in layers:
        model.add_at_most_one(is_high[l].values())
        if l:
            # A layer exists only under another: layers count from the lid.
            model.add(sum(is_high[l].values()) <= sum(is_high[l - 1].values()))
    model.add(sum(h * b for l in layers for h, b in is_high[l].items()) <= case["h"])
    choices, corners, cost = [], [], []
    boxes = [([], []) for _ in layers]
    areas = [{h: [] for h in heights} for _ in layers]
    for tray in case["trays"]:
        outlines = [o for o in sorted({tuple(o) for o in tray["opts"]}) if o[0] <= width and o[1] <= depth]
        at_height = {h: undominated([o for o in outlines if o[2] <= h]) for h in heights}
        # The gap is part of the tray; the box is wider by one gap, so that none is asked for at its far side.
        x, y = model.new_int_var(0, width, ""), model.new_int_var(0, depth, "")
        sizes = [model.new_int_var_from_domain(cp_model.Domain.from_values([o[side] + gap for o in outlines]), "") for side in (0, 1)]
        ends = [model.new_int_var(0, width + gap, ""), model.new_int_var(0, depth + gap, "")]
        mine = {(l, h, *o): model.new_bool_var("") for l in layers for h in heights for o in at_height[h]}
        for l in layers:
            in_layer = model.new_bool_var("")
            here = {key: chosen for key, chosen in mine.items() if key[0] == l}
            model.add(sum(here.values()) == in_layer)
            for h in heights:
                at_this = [chosen for key, chosen in here.items() if key[1] == h]
                if at_this:
                    model.add(sum(at_this) <= is_high[l][h])
            for (_, h, w, d, _), chosen in here.items():
                cost.append((w * d * h + case["pen"][tray["class"]] * l, chosen))
                areas[l][h].append(((w + gap) * (d + gap), chosen))
            for axis, start in enumerate((x, y)):
                boxes[l][axis].append(model.new_optional_interval_var(start, sizes[axis], ends[axis], in_layer, ""))
        for axis in (0, 1):
            model.add(sizes[axis] == sum((key[2 + axis] + gap) * chosen for key, chosen in mine.items()))
        model.add_exactly_one(mine.values())
        choices.append(mine)
        corners.append((x, y))
    for layer, bx, by, bw, bd in case["obs"]:
        if layer in layers:
            # No gap is asked for at a blocked place, and a tray's own is part of it.
            boxes[layer][0].append(model.new_fixed_size_interval_var(bx + gap, bw - gap, ""))
            boxes[layer][1].append(model.new_fixed_size_interval_var(by + gap, bd - gap, ""))
    for l in layers:
        model.add_no_overlap_2d(*boxes[l])
        for h in heights:
            model.add(sum(a * c for a, c in areas[l][h]) <= (width + gap) * (depth + gap) * is_high[l][h])
    model.minimize(sum(k * c for k, c in cost))

    answer = Answer()

    class Watch(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self):
            answer.improve(time.perf_counter() - start, round(self.objective_value))

    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = float(limit)
    solver.parameters.num_workers = workers
    solver.parameters.linearization_level = 2
    start = time.perf_counter()
    state = solver.solve(model, Watch())
    answer.seconds = time.perf_counter() - start
    if state == cp_model.INFEASIBLE:
        answer.state = "no plan"
        return answer
    answer.bound = round(solver.best_objective_bound)
    if state in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        check(case, choices, corners, solver, answer)
    if state == cp_model.OPTIMAL:
        answer.state = "proven"
    return answer


def undominated(outlines):
    """Without those that are as wide and as deep as another or more."""
    return [o for o in outlines if not any(p != o and p[0] <= o[0] and p[1] <= o[1] and (p[:2] != o[:2] or p < o) for p in outlines)]


def check(case, choices, corners, solver, answer):
    """Stops at a plan of CP-SAT that breaks a rule of the case: then our model of it is wrong."""
    placed, value = [], 0
    for tray, mine, (x, y) in zip(case["trays"], choices, corners):
        l, h, w, d, least = next(key for key, chosen in mine.items() if solver.value(chosen))
        placed.append((l, solver.value(x), solver.value(y), w, d, h))
        value += w * d * h + case["pen"][tray["class"]] * l
        assert least <= h
    heights = {p[0]: p[5] for p in placed}
    assert value == answer.value and all(heights[p[0]] == p[5] for p in placed) and sum(heights.values()) <= case["h"]

    def beside(a, b, gap):
        return a[1] + a[3] + gap <= b[1] or b[1] + b[3] + gap <= a[1] or a[2] + a[4] + gap <= b[2] or b[2] + b[4] + gap <= a[2]

    for i, a in enumerate(placed):
        assert a[1] >= 0 and a[2] >= 0 and a[1] + a[3] <= case["w"] and a[2] + a[4] <= case["d"]
        assert all(a[0] != b[0] or beside(a, b, case["gap"]) for b in placed[:i])
        assert all(a[0] != o[0] or beside(a, o, 0) for o in case["obs"])


def line(case, name, answer, own):
    """One row of the table, and how many times sooner ours was (None where that cannot be told)."""

    def cell(value, form="{}"):
        return "-" if value is None else form.format(value)

    value, bound = answer.value, answer.bound
    gap = None if value is None or bound is None else 100 * (1 - bound / value)
    sooner = None
    if answer is not own and value is not None:
        reached = next((seconds for seconds, v in own.times if v <= value), None)
        if reached is not None:
            sooner = answer.times[-1][0] / max(reached, 1e-4)
    worse = answer is not own and value is not None and (own.value is None or own.value > value)
    print(
        f"{case:16} {name:8} {cell(value):>12} {cell(bound):>12} {cell(gap, '{:.3f}'):>8}"
        f" {cell(answer.times[0][0] if answer.times else None, '{:.2f}'):>8}"
        f" {cell(answer.times[-1][0] if answer.times else None, '{:.2f}'):>8} {answer.seconds:>8.2f}"
        f" {answer.state or 'stopped':>8} {cell(sooner, '{:.0f}'):>8}{'  OURS WORSE' if worse else ''}",
        flush=True,
    )
    return sooner, worse


def main():
    args = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    args.add_argument("folder", type=pathlib.Path)
    args.add_argument("--cases", default="", help="only cases whose name contains this")
    args.add_argument("--ours", type=float, default=10.0, help="seconds for our search, each case")
    args.add_argument("--limit", type=float, default=60.0, help="seconds for a peer, each case")
    args.add_argument("--workers", type=int, default=2, help="threads of every solver")
    args.add_argument("--solvers", default="highs,cpsat")
    args = args.parse_args()
    if not args.folder.is_dir():
        raise SystemExit(f"peers.py: {args.folder} is no folder: nothing measured")
    os.environ["RAYON_NUM_THREADS"] = str(args.workers)
    peers = [name for name in args.solvers.split(",") if name]
    with tempfile.TemporaryDirectory(prefix="peers-") as folder:
        reports, models = pathlib.Path(folder, "ours.json"), pathlib.Path(folder, "models")
        bench(args.folder, "--cases", args.cases, "--seconds", args.ours, "--json", reports)
        if "highs" in peers:
            bench(args.folder, "--cases", args.cases, "--mps", models)
        print(
            f"{'case':16} {'solver':8} {'value':>12} {'bound':>12} {'gap %':>8} {'first s':>8} {'last s':>8} {'end s':>8} {'state':>8} {'ratio':>8}"
        )
        ratios, worse, disagree = {name: [] for name in peers}, 0, 0
        for report in json.loads(reports.read_text()):
            name = report["case"]
            case = json.loads((args.folder / f"{name}.json").read_text())
            own = ours(report)
            line(name, "ours", own, own)
            for peer in peers:
                model = models / f"{name}.mps"
                if peer == "highs" and not model.is_file():
                    print(f"{name:16} {peer:8} the model is too large to be written")
                    continue
                answer = highs(model, args.limit, args.workers) if peer == "highs" else cpsat(case, args.limit, args.workers)
                sooner, lost = line(name, peer, answer, own)
                ratios[peer] += [] if sooner is None else [sooner]
                worse += lost
                # Neither may be better than what the other has proven, nor find what the other excludes.
                excluded = own.state == "no plan" and answer.times or answer.state == "no plan" and own.times
                beyond = any(
                    a.value is not None and b.bound is not None and a.value < b.bound - 2 for a, b in ((own, answer), (answer, own))
                )
                if excluded or beyond:
                    print(f"{name:16} {peer:8} CONTRADICTS OURS")
                    disagree += 1
    print(f"\nours {args.ours:g} s, peers {args.limit:g} s each, {args.workers} threads each")
    for peer, all_of_it in ratios.items():
        if all_of_it:
            print(f"{peer}: our search held its last value {statistics.median(all_of_it):.0f} times sooner (median of {len(all_of_it)} cases; mark: 50)")
    print(f"cases where ours is worse than a peer: {worse} (mark: none); contradictions: {disagree}")
    return int(disagree > 0)


if __name__ == "__main__":
    sys.exit(main())
