"""By hand: the report against papermill on an empty notebook, processor and wall time, one beside the other in one run.

Use: .venv/bin/python tests/benchmarks/bench_report.py [ROUNDS]

What was compiled once is kept, as on a maker's machine: the packages of papermill come compiled, ours is compiled where
it is run first, and a first round that is not counted does that.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import nbformat

PYTHON = sys.executable
RECIPES = ("r1b-hand-wash", "r2-gel-cream")
KERNEL = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
KEPT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
GOAL = 1.2
"""Processor time of the hand wash's report, as a share of papermill's on an empty notebook."""


def seconds(words: list[str]) -> tuple[float, float]:
    """Processor time of a command and of all that it starts, and its wall time [s]."""
    start, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(words, check=True, capture_output=True, env=KEPT)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    return used, time.perf_counter() - start


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    with tempfile.TemporaryDirectory() as room:
        empty = Path(room) / "empty.ipynb"
        nbformat.write(nbformat.v4.new_notebook(metadata=KERNEL), empty)
        floor = [PYTHON, "-m", "papermill", str(empty), str(Path(room) / "out.ipynb")]
        report = {name: [PYTHON, "-m", "maker_kit.cli", "report", name, "--to", room] for name in RECIPES}
        commands = {"papermill, empty notebook": floor, **report}
        for words in commands.values():
            seconds(words)
        took: dict[str, list[tuple[float, float]]] = {name: [] for name in commands}
        for _ in range(rounds):  # in turn, so that a busy minute falls on all of them
            for name, words in commands.items():
                took[name].append(seconds(words))
    floors = took["papermill, empty notebook"]
    for name, pairs in took.items():
        used, wall = (statistics.median(pair[k] for pair in pairs) for k in (0, 1))
        ratio = [statistics.median(p[k] / f[k] for p, f in zip(pairs, floors, strict=True)) for k in (0, 1)]
        sys.stdout.write(
            f"{name}: processor {used:.2f} s, {ratio[0]:.2f} times; wall {wall:.2f} s, {ratio[1]:.2f} times "
            f"(medians of {rounds}{f'; goal: processor at most {GOAL}' if name == RECIPES[0] else ''})\n"
        )


if __name__ == "__main__":
    main()
