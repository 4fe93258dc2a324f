"""By hand: how long large workshops take to open, against the demo in one run; and what many reports cost against one.

Use: .venv/bin/python tests/benchmarks/bench_large.py [RECIPES ...] (default: 50 500; ten ingredients and forty packs a
recipe), or: bench_large.py reports NUMBER
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from large_workshop import DEMO, make_workshop

GOAL_S = 3.0


def say(text: str) -> None:
    sys.stdout.write(text + "\n")


def opening(name: str, folder: Path) -> None:
    """Seconds of processor and of the clock: the tables, the recipes of the first screen, the screen with its curve."""
    from maker_kit.workbook.panels.start import AT_ONCE, start_panel, usual_plan
    from maker_kit.workshop import load_workshop

    cpu, clock = time.process_time(), time.perf_counter()
    shop = load_workshop(folder)
    read, read_clock = time.process_time() - cpu, time.perf_counter() - clock
    cpu = time.process_time()
    names = list(shop.recipes)[-AT_ONCE:]
    for recipe in names:
        usual_plan(shop, recipe)
    plans = (time.process_time() - cpu) / len(names)
    cpu, clock = time.process_time(), time.perf_counter()
    start_panel(shop)
    say(
        f"{name}: {len(shop.recipes)} recipes, {len(shop.ingredients)} ingredients, {len(shop.market.packs)} packs: "
        f"read {read:.2f} s of processor ({read_clock:.2f} s by the clock; goal {GOAL_S:g} s), a plan "
        f"{1000 * plans:.0f} ms, first screen {time.process_time() - cpu:.2f} s ({time.perf_counter() - clock:.2f} s)"
    )


def reports(many: int) -> None:
    """What reports of many recipes cost against one, in seconds of processor and by the clock."""
    with tempfile.TemporaryDirectory() as room:
        make_workshop(Path(room) / "shop", many, 30, 120)
        for count in (1, many):
            before, clock = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
            words = [f"big-{n:04}" for n in range(count)]
            verb = [sys.executable, "-m", "maker_kit.cli", "report", *words, "--workshop", str(Path(room) / "shop")]
            subprocess.run([*verb, "--to", str(Path(room) / "out")], check=True, capture_output=True)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
            say(f"reports of {count}: {cpu:.1f} s of processor, {time.perf_counter() - clock:.1f} s by the clock")


def main(words: list[str]) -> None:
    if words[:1] == ["reports"]:
        reports(int(words[1]))
        return
    opening("warming up", DEMO)
    opening("demo", DEMO)
    with tempfile.TemporaryDirectory() as room:
        for recipes in map(int, words or ["50", "500"]):
            folder = Path(room) / str(recipes)
            make_workshop(folder, recipes, 10 * recipes, 40 * recipes)
            opening(f"{recipes} more", folder)


if __name__ == "__main__":
    main(sys.argv[1:])
