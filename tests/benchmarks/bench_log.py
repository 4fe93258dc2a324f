"""Ten years of a bench log: how long it takes to open, to trace and to add, beside a plain table without indexes.

Use: .venv/bin/python tests/benchmarks/bench_log.py [--batches 5000] [--kept FOLDER]
"""

from __future__ import annotations

import argparse
import random
import sqlite3
import statistics
import sys
import tempfile
import time
from pathlib import Path

from maker_kit.bench.log import FILE, open_log
from maker_kit.bench.trace import trace

EVERY, FAIR = "EVERY", "fair"
"""A lot that is in every batch, and a place where units of every batch are."""


def say(line: object) -> None:
    """Print a line."""
    sys.stdout.write(f"{line}\n")


def filled(folder: Path, batches: int, seed: int) -> None:
    """Write batches with 20 weighings, 200 readings and 10 numbered units each, from lots that last 25 batches, but for
    one that is in all of them; two units of each batch were at one fair.
    """
    draw = random.Random(seed)
    with open_log(folder, make=True) as log:
        lots = max(8, batches // 25 * 8)
        names = [f"L{k:05d}" for k in range(lots)]
        ids = log.add_all("lot", [{"code": n, "item": f"thing {k % 8}"} for k, n in enumerate(names)])
        made = {"recipe": "r", "version": "v", "made_on": "2026-11-02", "containers": 10}
        ids = (*ids, log.add("lot", code=EVERY, item="thing 0"))
        rows = log.add_all("batch", [{"number": f"B{k:05d}", **made} for k in range(batches)])
        for first in range(0, batches, 250):
            part = list(enumerate(rows[first : first + 250], first))
            log.add_all(
                "weighing",
                [
                    {
                        "batch": b,
                        "lot": ids[min(lots - 1, k // 25 * 8 + w % 8)] if w else ids[-1],
                        "item": f"thing {w % 8}",
                        "mass_mg": 1000 + w,
                    }
                    for k, b in part
                    for w in range(20)
                ],
            )
            readings = [
                {"batch": b, "kind": draw.choice(("pH", "temperature")), "value": draw.random(), "read_at": "t"}
                for _, b in part
                for _ in range(200)
            ]
            log.add_all("reading", readings)
            units = [{"batch": b, "code": f"B{k:05d}/{u}"} for k, b in part for u in range(10)]
            kept = log.add_all("unit", units)
            gone = {"use": "sale", "gone_on": "2026-11-05"}
            log.add_all("gone", [{"unit": u, "place": f"P{draw.randrange(500)}", **gone} for u in kept])
            log.add_all("gone", [{"unit": u, "place": FAIR, **gone} for u in kept[::5]])


def timed(work, repeats: int, clock=time.perf_counter) -> float:
    """Median time of some work [ms], by the clock, or in time of the processor where the machine is shared."""
    took = []
    for _ in range(repeats):
        begun = clock()
        work()
        took.append((clock() - begun) * 1000)
    return statistics.median(took)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--batches", type=int, default=5000)
    parser.add_argument("--first-seed", type=int, default=1)
    parser.add_argument("--kept", type=Path, metavar="FOLDER", help="take the log in it, or write it there and keep it")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as made:
        folder = given.kept or Path(made)
        begun = time.perf_counter()
        if not (folder / FILE).is_file():
            folder.mkdir(exist_ok=True)
            filled(folder, given.batches, given.first_seed)
        say(f"written in {time.perf_counter() - begun:.1f} s, {(folder / FILE).stat().st_size / 1e6:.1f} MB")
        say(f"open {timed(lambda: open_log(folder).close(), 5):.0f} ms")
        with open_log(folder) as log:
            say(log.counts())
            draw = random.Random(given.first_seed + 1)
            lot = f"L{draw.randrange(given.batches // 25 * 8):05d}"
            batch, place = f"B{draw.randrange(given.batches):05d}", f"P{draw.randrange(500)}"
            for name in (lot, batch, f"{batch}/3", place, FAIR, EVERY):
                found = trace(log, name)
                took, busy = (timed(lambda n=name: trace(log, n), 7, c) for c in (time.perf_counter, time.process_time))
                part = timed(lambda f=found: f.to_frame(200), 3, time.process_time)
                about = f"{len(found.batches)} batches, {found.numbered} units, {len(found.lots)} lots"
                whole = timed(lambda f=found: sum(1 for _ in f.each()), 1, time.process_time)
                rows = f"200 rows {part:.1f} ms, all of them {whole:.0f} ms of the processor"
                say(f"trace {found.kind:6} {took:6.1f} ms, {busy:6.1f} ms of the processor  {about}; {rows}")
            row = {"batch": batch, "kind": "pH", "value": 5.5, "read_at": "t"}
            say(f"add   {timed(lambda: log.add('reading', **row), 20):.1f} ms")
        with sqlite3.connect(folder / FILE) as plain:
            ask = f"SELECT count(*) FROM weighing WHERE +lot = (SELECT id FROM lot WHERE +code = '{lot}')"
            say(
                f"(reading all weighings for that lot without an index: "
                f"{timed(lambda: plain.execute(ask).fetchall(), 5):.1f} ms)"
            )


if __name__ == "__main__":
    main()
