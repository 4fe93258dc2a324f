"""Steps with all their columns: read as they were written, also after the recipe was saved."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from workshop_files import change, only_fault, read_rows

from maker_kit.formula.step import Step
from maker_kit.workshop import load_workshop
from maker_kit.workshop.saving import save_recipe

LOTION = "r5-hand-lotion"
HEADINGS = [
    "step",
    "phase",
    "text",
    "from [°C]",
    "to [°C]",
    "time [min]",
    "tool",
    "into",
    "fine until",
    "rescue",
    "note",
]
ROWS = [
    ["1", "A", "Heat A.", "73", "77", "", "water bath", "", "B is as warm", "warm it again, once", "invented"],
    ["2", "B", "Pour B into A, -1 cm a second.", "70", "75.5", "5", "stick blender", "phase A", "", "", ""],
    ["3", "", "=Fill it.", "", "", "0.5", "", "bottle", "the next day", "+ stir; then fill", ""],
]
STEPS = (
    Step(1, "Heat A.", "A", 73.0, 77.0, None, "water bath", "", "B is as warm", "warm it again, once"),
    Step(2, "Pour B into A, -1 cm a second.", "B", 70.0, 75.5, 5.0, "stick blender", "phase A"),
    Step(3, "=Fill it.", "", None, None, 0.5, "", "bottle", "the next day", "+ stir; then fill"),
)


@pytest.fixture
def with_steps(folder: Path) -> Path:
    """The demo with such steps, written by Python's csv module and nothing of ours."""
    with (folder / "recipes" / f"{LOTION}.steps.csv").open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file).writerows([HEADINGS, *ROWS])
    return folder


def test_every_column_of_a_step_reaches_the_recipe(with_steps: Path) -> None:
    assert load_workshop(with_steps).recipe(LOTION).steps == STEPS


def test_a_recipe_saved_again_keeps_its_steps_to_the_letter(with_steps: Path) -> None:
    file = with_steps / "recipes" / f"{LOTION}.steps.csv"
    before, recipe = file.read_bytes(), load_workshop(with_steps).recipe(LOTION)
    saved = save_recipe(with_steps, LOTION, recipe.title, recipe, "own trials", "2026-03-02", replace=True)
    assert saved.steps == load_workshop(with_steps).recipe(LOTION).steps == STEPS
    assert file.read_bytes() == before


def test_a_table_of_steps_without_the_later_columns_still_loads(with_steps: Path) -> None:
    file = with_steps / "recipes" / f"{LOTION}.steps.csv"
    rows = [[cell for k, cell in enumerate(row) if HEADINGS[k] in HEADINGS[:7]] for row in read_rows(file)]
    with file.open("w", encoding="utf-8", newline="") as old:
        csv.writer(old).writerows(rows)
    steps = load_workshop(with_steps).recipe(LOTION).steps
    assert [(s.number, s.tool, s.into, s.fine_until, s.rescue) for s in steps] == [
        (s.number, s.tool, "", "", "") for s in STEPS
    ]


def test_a_window_upside_down_and_a_step_out_of_order_are_faults(with_steps: Path) -> None:
    name = f"recipes/{LOTION}.steps.csv"
    change(with_steps, name, 2, "from [°C]", "80")
    assert (only_fault(with_steps).row, only_fault(with_steps).column) == (2, "from [°C]")
    change(with_steps, name, 2, "from [°C]", "73")
    change(with_steps, name, 3, "step", "7")
    assert (only_fault(with_steps).row, only_fault(with_steps).column) == (4, "step")
