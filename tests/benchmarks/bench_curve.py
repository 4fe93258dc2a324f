"""How fast a whole curve is proved, side by side in one run with `scipy.optimize.milp` built fresh for every point, and
with another copy of the package. Run by hand: ``python tests/benchmarks/bench_curve.py``.

Markets come from a seed. For each: the integer program on evenly spread counts, with HiGHS's presolve and without (the
faster one counts); our curve from nothing until every count is proved, what it leaves open closed by the integer
program; then slider moves on kept tables, until there is a whole curve to draw. Every measurement runs in a process of
its own, and all seconds are the processor's, which tell of all sides alike where other programs run beside them.

``--against FOLDER`` measures the package of another checkout on the same markets in the same run, in turn with this
one, and compares what both proved, count by count; ``--markdown FILE`` writes the table of both.
"""

# ruff: noqa: E402 (a script's folders come before its imports)
from __future__ import annotations

import argparse
import contextlib
import functools
import itertools
import json
import os
import resource
import statistics
import subprocess
import sys
import time
import types
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve()
CODE = "BENCH_CODE"
"""Environment variable: the checkout whose package is measured."""
sys.path[:0] = [str(HERE.parents[1] / "buying"), os.environ.get(CODE, str(HERE.parents[2]))]

from curves import open_counts
from generated_markets import DELIVERY, SIZES, workshop_market

from maker_kit.buying.curve import solver as solvers
from maker_kit.buying.needs import need_of

REQUIRED = {"flat": 400, "threshold": 50, "steps": 20, "mixed": 20}
"""How many times as fast as the integer program, in every single market."""

DRAWN_S = 0.08
"""Time for a first drawing [s of the processor]."""

Row = dict[str, Any]


def program_points(market: Any, per_batch: dict[str, Fraction], job: Row) -> Row:
    """Seconds of the integer program a point, and the costs."""
    import outside_milp  # here, as the package of another checkout may not have what it needs

    from maker_kit.buying.basket import highs
    from maker_kit.buying.basket.caps import Restriction
    from maker_kit.buying.basket.program import NotProvedError, Problem, cheapest_counts

    counts = [1 + k * job["upto"] // job["points"] for k in range(job["points"])]
    ours, costs, best = highs.solve, {}, []
    for presolve in (False, True):
        highs.solve = functools.partial(outside_milp.solve, presolve=presolve)
        took = 0.0
        for n in counts:
            need, start = need_of(per_batch, n), time.process_time()
            with contextlib.suppress(NotProvedError):
                costs[n] = cheapest_counts(Problem(market, need, Restriction(), time.monotonic() + 60))[1]
            took += time.process_time() - start
        best.append(took / len(counts))
    highs.solve = ours
    return {"point_s": min(best), "costs": costs}


def whole_curve(market: Any, per_batch: dict[str, Fraction], job: Row) -> Row:
    """Seconds until all counts are proved, from nothing and without anything kept; then until there is a drawing."""
    upto, cold = job["upto"], []
    for _ in range(job["repeats"]):
        start, solver = time.process_time(), solvers.CurveSolver(market)
        points = solver.curve(per_batch, upto)
        at_once, left = time.process_time() - start, len(open_counts(points))
        points = solver.close(points)
        cold.append(time.process_time() - start)
    solvers.time = types.SimpleNamespace(monotonic=time.process_time)  # its limits, too, are the processor's seconds
    drawn, still = [], []
    for k in range(job["repeats"]):
        moved = {
            item: amount * (1 + Fraction((i * 7 + k * 3) % 11 - 5, 100))
            for i, (item, amount) in enumerate(per_batch.items())
        }
        start = time.process_time()
        first = solver.curve(moved, upto, seconds=DRAWN_S)
        drawn.append(time.process_time() - start)
        still.append(len(open_counts(first)))
    return {
        "at_once_s": at_once,
        "proved_s": statistics.median(cold),
        "closed_by_milp": left,
        "not_proved": len(open_counts(points)),
        "bands": [(p.lower_micros, p.upper_micros) for p in points],
        "drawn_ms": 1000 * statistics.median(drawn),
        "open_when_drawn": statistics.median(still),
        "memory_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def in_own_process(code: Path, what: str, job: Row) -> Row:
    """What `program_points` or `whole_curve` says of one market, by the package in a checkout."""
    command = [sys.executable, str(HERE), "--one", json.dumps({**job, "what": what})]
    environment = {**os.environ, CODE: str(code), "PYTHONPATH": str(code)}
    done = subprocess.run(command, env=environment, check=True, stdout=subprocess.PIPE, text=True)
    return json.loads(done.stdout)


def measured(job: Row, copies: dict[str, Path]) -> Row:
    """One market: the integer program, and every copy of the package; which of them is first changes with the seed."""
    order = sorted(copies, reverse=bool(job["seed"] % 2))
    found = {name: in_own_process(copies[name], "whole_curve", job) for name in order[:1]}
    base = in_own_process(HERE.parents[2], "program_points", job)
    found |= {name: in_own_process(copies[name], "whole_curve", job) for name in order[1:]}
    milp_s = job["upto"] * base["point_s"]
    for side in found.values():
        bands = side.pop("bands")
        side["times"] = milp_s / side["proved_s"]
        side["wrong"] = [
            n for n, cost in base["costs"].items() if not bands[int(n) - 1][0] <= cost <= bands[int(n) - 1][1]
        ]
        side["proved"] = {n: low for n, (low, high) in enumerate(bands, 1) if low == high}
    proved = [side.pop("proved") for side in found.values()]
    differ = [n for one, other in itertools.combinations(proved, 2) for n in one if one[n] != other.get(n, one[n])]
    return {**job, "milp_s": milp_s, "differ": differ, "sides": {name: found[name] for name in copies}}


def told(row: Row) -> None:
    """One line a copy."""
    for name, side in row["sides"].items():
        print(  # noqa: T201
            f"{row['size'] + ' ' + row['delivery']:18} {row['seed']:5} {name:7} {row['milp_s']:7.1f} "
            f"{side['proved_s']:8.3f} {side['times']:6.0f} of {REQUIRED[row['delivery']]:3} "
            f"left {side['closed_by_milp']:3} drawn {side['drawn_ms']:4.0f} ms, {side['open_when_drawn']:4.0f} open "
            f"{side['memory_mb']:4.0f} MB  {side['wrong'] or ''} {row['differ'] or ''}",
            flush=True,
        )


def markdown(rows: list[Row]) -> str:
    """The worst market and the median of every kind, a copy of the package beside the other."""
    names = list(rows[0]["sides"])
    head = ["market", "markets", "asked"]
    for name in names:
        head += [f"{name}: worst", "median", "missed", "proved, all [s]", "left open, all", "drawn, worst [ms]"]
    lines = [head, ["---"] * len(head)]
    for (size, delivery), mine in itertools.groupby(rows, key=lambda row: (row["size"], row["delivery"])):
        kind, asked = list(mine), REQUIRED[delivery]
        line = [f"{size} {delivery}", str(len(kind)), f"{asked} ×"]
        for name in names:
            sides = [row["sides"][name] for row in kind]
            times = [side["times"] for side in sides]
            line += [f"{min(times):.0f} ×", f"{statistics.median(times):.0f} ×", str(sum(t < asked for t in times))]
            line += [f"{sum(side['proved_s'] for side in sides):.1f}", str(sum(s["closed_by_milp"] for s in sides))]
            line.append(f"{max(side['drawn_ms'] for side in sides):.0f}")
        lines.append(line)
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", nargs="+", default=["small", "medium"], choices=list(SIZES))
    parser.add_argument("--delivery", nargs="+", default=list(DELIVERY), choices=DELIVERY)
    parser.add_argument("--seeds", type=int, default=5)
    parser.add_argument("--first-seed", type=int, default=0)
    parser.add_argument("--upto", type=int, default=200)
    parser.add_argument("--points", type=int, default=10, help="counts the integer program is timed on")
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--at-a-time", type=int, default=1, help="markets measured beside each other")
    parser.add_argument("--against", type=Path, help="another checkout, whose package is measured too")
    parser.add_argument("--json", type=Path)
    parser.add_argument("--markdown", type=Path)
    parser.add_argument("--one", help=argparse.SUPPRESS)
    chosen = parser.parse_args()
    if chosen.one:
        job = json.loads(chosen.one)
        made = workshop_market(job["seed"], job["size"], job["delivery"])
        work = {"program_points": program_points, "whole_curve": whole_curve}[job["what"]]
        print(json.dumps(work(*made, job)))  # noqa: T201
        return
    copies = {"before": chosen.against.resolve()} if chosen.against else {}
    copies["after" if copies else "ours"] = HERE.parents[2]
    seeds = range(chosen.first_seed, chosen.first_seed + chosen.seeds)
    how = {"upto": chosen.upto, "points": chosen.points, "repeats": chosen.repeats}
    jobs = [
        {"size": size, "delivery": delivery, "seed": seed, **how}
        for seed, size, delivery in itertools.product(seeds, chosen.sizes, chosen.delivery)
    ]
    rows: list[Row] = []
    with ThreadPoolExecutor(chosen.at_a_time) as pool:
        for row in pool.map(lambda job: measured(job, copies), jobs):
            told(row)
            rows.append(row)
            ordered = sorted(rows, key=lambda r: (chosen.sizes.index(r["size"]), DELIVERY.index(r["delivery"])))
            if chosen.json:
                chosen.json.write_text(json.dumps(rows, indent=1))
            if chosen.markdown:
                chosen.markdown.write_text(markdown(ordered) + "\n")
    print(markdown(ordered))  # noqa: T201


if __name__ == "__main__":
    main()
