"""How fast a whole curve is proved, side by side in one run with `scipy.optimize.milp` built fresh for every point. Run
by hand: ``python tests/benchmarks/bench_curve.py``.

Markets come from a seed. For each: the integer program on evenly spread counts, without and with HiGHS's presolve (the
faster one counts), before and after ours, so that a change in the machine's load shows; our curve from nothing until
every count is proved, what it leaves open closed by the integer program; then slider moves on kept tables: until there
is a whole curve to draw, and until nothing of it is open.
"""

# ruff: noqa: E402 (a script's folders come before its imports)
from __future__ import annotations

import argparse
import contextlib
import functools
import json
import multiprocessing
import resource
import statistics
import sys
import time
from fractions import Fraction
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parents[1] / "buying"), str(Path(__file__).parents[2])]

import outside_milp
from curves import open_counts
from generated_markets import DELIVERY, SIZES, workshop_market

from maker_kit.buying.basket import highs
from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import NotProvedError, Problem, cheapest_counts
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.market import Market
from maker_kit.buying.needs import need_of

CLOCKS = [time.perf_counter]
"""What the stopwatch reads: the wall's clock, or with ``--cpu`` the processor's, which tells of both sides alike where
other programs run beside it."""
REQUIRED = {"flat": 400, "threshold": 50, "steps": 20, "mixed": 20}


def seconds_a_point(
    market: Market, per_batch: dict[str, Fraction], counts: list[int], *, presolve: bool
) -> tuple[float, dict[int, int]]:
    ours, highs.solve = highs.solve, functools.partial(outside_milp.solve, presolve=presolve)
    took, found = [], {}
    try:
        for n in counts:
            need = need_of(per_batch, n)
            start = CLOCKS[0]()
            with contextlib.suppress(NotProvedError):
                found[n] = cheapest_counts(Problem(market, need, Restriction(), time.monotonic() + 60))[1]
            took.append(CLOCKS[0]() - start)
    finally:
        highs.solve = ours
    return statistics.mean(took), found


def whole(solver: CurveSolver, per_batch: dict[str, Fraction], upto: int) -> tuple[float, float, int, Any]:
    """Seconds of all counts at once, seconds until all are proved, counts the integer program closed, the band."""
    start = CLOCKS[0]()
    band = solver.curve(per_batch, upto)
    at_once, left = CLOCKS[0]() - start, len(open_counts(band))
    band = solver.close(band)
    return at_once, CLOCKS[0]() - start, left, band


def measure(size: str, delivery: str, seed: int, upto: int, points: int, repeats: int) -> dict[str, Any]:
    market, per_batch = workshop_market(seed, size, delivery)
    counts = [1 + k * upto // points for k in range(points)]
    base = []
    slow, truth = seconds_a_point(market, per_batch, counts, presolve=False)
    base.append(slow)
    cold = [whole(CurveSolver(market), per_batch, upto) for _ in range(repeats)]
    fast, _ = seconds_a_point(market, per_batch, counts, presolve=True)
    slow, _ = seconds_a_point(market, per_batch, counts, presolve=False)
    base.append(slow)
    band = cold[0][3]
    wrong = [
        n for n, cost in truth.items() if not band[n - 1].lower_micros <= cost <= (band[n - 1].upper_micros or cost)
    ]
    solver = CurveSolver(market)
    solver.curve(per_batch, upto)
    drawn, gone, open_at_first = [], [], []
    for k in range(repeats):
        moved = {
            item: amount * (1 + Fraction((i * 7 + k * 3) % 11 - 5, 100))
            for i, (item, amount) in enumerate(per_batch.items())
        }
        start = CLOCKS[0]()
        first = solver.curve(moved, upto, seconds=0.08)
        drawn.append(CLOCKS[0]() - start)
        open_at_first.append(len(open_counts(first)))
        gone.append(whole(solver, moved, upto)[1])
    point = min(min(base), fast)
    return {
        "size": size,
        "delivery": delivery,
        "seed": seed,
        "milp_s": point * upto,
        "milp_no_presolve_s": min(base) * upto,
        "milp_presolve_s": fast * upto,
        "proved_s": statistics.median(c[1] for c in cold),
        "at_once_s": statistics.median(c[0] for c in cold),
        "closed_by_milp": cold[0][2],
        "not_proved": len(open_counts(band)),
        "wrong": wrong,
        "times": point * upto / statistics.median(c[1] for c in cold),
        "drawn_ms": 1000 * statistics.median(drawn),
        "drawn_worst_ms": 1000 * max(drawn),
        "open_when_drawn": statistics.median(open_at_first),
        "gone_s": statistics.median(gone),
        "gone_worst_s": max(gone),
        "memory_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def _in_own_process(job: tuple) -> dict[str, Any]:
    *what, cpu = job
    if cpu:
        CLOCKS[0] = time.process_time
    return measure(*what)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", nargs="+", default=["small", "medium"], choices=list(SIZES))
    parser.add_argument("--delivery", nargs="+", default=list(DELIVERY), choices=DELIVERY)
    parser.add_argument("--seeds", type=int, default=5)
    parser.add_argument("--first-seed", type=int, default=0)
    parser.add_argument("--upto", type=int, default=200)
    parser.add_argument("--points", type=int, default=10, help="counts the integer program is timed on")
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--cpu", action="store_true", help="seconds of the processor, not of the wall's clock")
    parser.add_argument("--json", type=Path)
    chosen = parser.parse_args()
    print(  # noqa: T201
        f"{'market':18} {'seed':>4} {'milp s':>8} {'proved s':>9} {'times':>7} {'required':>8} "
        f"{'left':>5} {'drawn ms':>9} {'open':>5} {'gone s':>7} {'MB':>5}  wrong"
    )
    rows = []
    with multiprocessing.get_context("spawn").Pool(1, maxtasksperchild=1) as pool:
        for size in chosen.sizes:
            for delivery in chosen.delivery:
                mine = []
                for seed in range(chosen.first_seed, chosen.first_seed + chosen.seeds):
                    r = pool.apply(
                        _in_own_process,
                        ((size, delivery, seed, chosen.upto, chosen.points, chosen.repeats, chosen.cpu),),
                    )
                    mine.append(r)
                    print(  # noqa: T201
                        f"{size + ' ' + delivery:18} {seed:4} {r['milp_s']:8.1f} {r['proved_s']:9.3f} "
                        f"{r['times']:7.0f} {REQUIRED[delivery]:8} {r['closed_by_milp']:5} "
                        f"{r['drawn_ms']:9.0f} "
                        f"{r['open_when_drawn']:5.0f} {r['gone_s']:7.2f} {r['memory_mb']:5.0f}  {r['wrong'] or ''}",
                        flush=True,
                    )
                rows += mine
                print(  # noqa: T201
                    f"{size + ' ' + delivery:18}  all {sum(r['milp_s'] for r in mine):8.1f} "
                    f"{sum(r['proved_s'] for r in mine):9.3f} "
                    f"{sum(r['milp_s'] for r in mine) / sum(r['proved_s'] for r in mine):7.0f} "
                    f"{REQUIRED[delivery]:8}       median of the ratios "
                    f"{statistics.median(r['times'] for r in mine):.0f}",
                    flush=True,
                )
    if chosen.json:
        chosen.json.write_text(json.dumps(rows, indent=1))


if __name__ == "__main__":
    main()
