"""A reading of the pH is only as good as its tool, wherever it is judged: strips ± 0.5, a calibrated meter ± 0.1
(common practice, no source); one whose tool nobody noted counts as the coarsest.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from demo_workshop import demo

from maker_kit.errors import WorkshopError
from maker_kit.plan.judged import judge_folder
from maker_kit.workshop import load_workshop

WASH = "r1-hand-wash"


def with_tool(folder: Path, tool: str | None, ph: str = "5.1") -> Path:
    """The demo workshop with another reading of its hand wash; `tool` None leaves the column out."""
    path = folder / "recipes.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        if row["name"] == WASH:
            row["pH read"], row["pH read with"] = ph, tool or ""
        if tool is None:
            del row["pH read with"]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return folder


@pytest.mark.parametrize(
    ("tool", "span"), [("meter", (5.0, 5.2)), ("strip", (4.6, 5.6)), ("", (4.6, 5.6)), (None, (4.6, 5.6))]
)
def test_the_error_of_a_reading_is_that_of_its_tool(folder: Path, tool: str | None, span: tuple[float, float]) -> None:
    assert load_workshop(with_tool(folder, tool)).recipe(WASH).ph_span == span


def test_a_tool_nobody_knows_is_refused(folder: Path) -> None:
    with pytest.raises(WorkshopError, match="pH read with"):
        load_workshop(with_tool(folder, "litmus flower"))


def test_the_error_counts_when_a_recipe_is_judged(folder: Path) -> None:
    """A strip that shows 10.6 on something rinsed off may mean 11.1; above 11 lye burns. A meter's 10.6 may not."""
    said = {}
    for tool in ("meter", "strip", ""):
        (judged,) = judge_folder(with_tool(folder, tool, "10.6"), [WASH])
        said[tool] = "ph.burns_alkaline" in {f.code for f in judged.findings}
    assert said == {"meter": False, "strip": True, "": True}


def test_the_demo_says_what_its_readings_were_read_with() -> None:
    recipes = demo().recipes.values()
    assert all(bool(r.ph_tool) is (r.ph_read is not None) for r in recipes)
