"""A maker's own market of six suppliers, each with steps of delivery: the search leaves hardly a count to the integer
program.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "benchmarks")]

from medium_workshop import RECIPE, make_workshop  # noqa: E402 - found through the line above

from maker_kit.plan import curve_view, make_plan  # noqa: E402
from maker_kit.workshop import load_workshop  # noqa: E402


def test_six_suppliers_with_steps_leave_hardly_a_count_open(tmp_path: Path) -> None:
    size = make_workshop(tmp_path / "shop", 0, "medium", "steps")
    plan = make_plan(load_workshop(tmp_path / "shop"), RECIPE, batch_size=size)
    assert len(plan.market.suppliers) > 5
    assert len(curve_view(plan, 12, close=False, seconds=60).curve.open_counts) <= 1
