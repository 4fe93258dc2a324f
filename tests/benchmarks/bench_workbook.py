"""By hand: slider to picture (kernel side), and the import of each room; the report stands in `bench_report.py`.

Use: .venv/bin/python tests/benchmarks/bench_workbook.py
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

PYTHON = sys.executable


def say(text: str) -> None:
    sys.stdout.write(text + "\n")


def slider(recipe: str, moves: int = 50) -> list[float]:
    """Seconds from a moved slider to the new picture and words, in this process."""
    from maker_kit.workbook.panels.formula import formula_panel
    from maker_kit.workshop import find_workshop

    panel = formula_panel(find_workshop(""), recipe, batch_size=12)
    (sliders,) = panel.controls
    took = []
    for move in range(moves):
        level = sliders.load if sliders.plan().recipe.scent and move % 2 else sliders.size
        start = time.perf_counter()
        level.slider.value += level.slider.step
        took.append(time.perf_counter() - start)
    return took


def main() -> None:
    for recipe in ("r1b-hand-wash", "r2-gel-cream", "r5-hand-lotion"):
        took = slider(recipe)
        say(
            f"slider to picture, {recipe}: median {1000 * statistics.median(took):.0f} ms, 90th of 100 "
            f"{1000 * sorted(took)[int(0.9 * len(took))]:.0f} ms, {len(took)} moves (goal: median at most "
            f"60 ms)"
        )
    for name in ("units", "formula.batch", "formula.limits.judge", "buying.costing", "workshop", "plan", "cli"):
        code = f"import time; t = time.perf_counter(); import maker_kit.{name}; print(time.perf_counter() - t)"
        took = sorted(
            float(subprocess.run([PYTHON, "-c", code], check=True, capture_output=True, text=True).stdout)
            for _ in range(5)
        )
        say(f"import maker_kit.{name}: {1000 * took[2]:.0f} ms (median of 5)")


if __name__ == "__main__":
    main()
