"""Bounds of ordered labels: how long they take, and how many times as long linear programs over every place would.

Use: .venv/bin/python tests/benchmarks/bench_labels.py [--names 60] [--labels 10] [--seed 1]

A linear program of HiGHS is run for the least and the most of a few names at a few places of the 1 % line, and its mean
time counted for all names and places that fit.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.optimize import linprog

sys.path.insert(0, str(Path(__file__).parents[1] / "label"))

from exact_simplex import rows_of
from random_labels import add_sums, ordinary

from maker_kit.errors import ContradictionError
from maker_kit.label.order.bounds import OrderBounds, bounds_of
from maker_kit.label.order.label_order import LabelOrder, label_order


def say(line: object) -> None:
    """Print a line."""
    sys.stdout.write(f"{line}\n")


def timed(call: Callable[[], object], times: int = 1) -> float:
    """Least of several times [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        found.append(time.perf_counter() - start)
    return min(found)


def label(draw: random.Random, names: int, *, sums: bool) -> tuple[dict, LabelOrder, OrderBounds]:
    """A random label of so many names that contradicts itself nowhere."""
    while True:
        case = ordinary(draw, 1, "eu") | {"names": [f"N{i}" for i in range(names)], "at_most": {}, "at_least": {}}
        case |= {"at_most": {f"N{draw.randint(3, names - 1)}": "1", "N0": "85"}, "at_least": {"N2": "3"}, "sums": []}
        if sums:
            add_sums(draw, case)
        more = {k: case[k] for k in ("law", "colours_last", "at_most", "at_least", "sums")}
        order = label_order(case["names"], **more)
        try:
            return case, order, bounds_of(order)
        except ContradictionError:
            continue


def by_programs(draw: random.Random, case: dict, places: tuple[int, ...]) -> float:
    """What linear programs over every place would take [s], by the mean of a few."""
    n, took = len(case["names"]), []
    for k in draw.sample(places, min(3, len(places))):
        rows = [(np.array(a, float), kind, float(b[0])) for a, kind, b in rows_of(case, k)]
        upper = [(a, b) if kind == "<=" else (-a, -b) for a, kind, b in rows if kind != "="]
        matrix, right = np.array([a for a, _ in upper]), [b for _, b in upper]
        for i in draw.sample(range(n), 3):
            aim = -np.eye(n)[i]
            took.append(
                timed(lambda a=aim, m=matrix, b=right: linprog(a, m, b, np.ones((1, n)), [100], method="highs"))
            )
    return statistics.mean(took) * 2 * n * len(places)


def main() -> None:
    """Labels without and with sums."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--names", type=int, default=60)
    ask.add_argument("--labels", type=int, default=10)
    ask.add_argument("--seed", type=int, default=1)
    told = ask.parse_args()
    for sums in (False, True):
        draw = random.Random(told.seed)
        say(
            f"{told.names} names, {'with sums' if sums else 'no sums'}: ours [ms], programs over every place [s], ratio"
        )
        for _ in range(told.labels):
            case, order, found = label(draw, told.names, sums=sums)
            ours, theirs = timed(lambda o=order: bounds_of(o), 5), by_programs(draw, case, found.line_after)
            way = f"{found.way}, {len(found.line_after)} places"
            say(f"  {1000 * ours:9.3f}  {theirs:9.2f}  {theirs / ours:10,.0f}  {way}")


if __name__ == "__main__":
    main()
