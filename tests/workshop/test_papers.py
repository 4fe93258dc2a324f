"""papers.csv, watch.csv and decisions.csv: optional tables, every fault told, and nothing that hides a stop."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest
from demo_workshop import demo
from workshop_files import DATA, append_cells, change, only_fault, row_of

from maker_kit.plan.judged import judge_folder
from maker_kit.workshop import load_workshop

TABLES = ("papers.csv", "watch.csv", "decisions.csv")
PAPER = {"recipe": "r4-balm", "version": "1", "paper": "patch test", "date": "2026-03-01"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(DATA, tmp_path / "mine"))


def test_a_workshop_without_them_is_read_as_before(folder: Path) -> None:
    for file in TABLES:
        (folder / file).unlink()
    shop = load_workshop(folder)
    assert (shop.papers, shop.watched, shop.intents) == ((), (), {})
    assert not shop.faults


def test_the_demos_rows_are_read() -> None:
    shop = demo()
    (deviation,) = (p for p in shop.papers if p.paper == "deviation")
    assert (deviation.recipe, deviation.date, deviation.closed_on) == ("r5-hand-lotion", date(2026, 3, 16), None)
    warm = [(w.day, w.spread_cm) for w in shop.watched if w.recipe == "r2-gel-cream" and w.temperature_c == 40]
    assert warm == [(0, 6.6), (1, 6.5), (7, 6.9), (28, 7.9)]
    assert shop.intents["r1b-hand-wash"].containers == 24
    assert shop.intents["r1-hand-wash"].dose_g is None


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        (PAPER | {"recipe": "r4-blam"}, "recipe"),
        (PAPER | {"paper": "patch tets"}, "paper"),
        (PAPER | {"date": ""}, "date"),
        (PAPER | {"closed on": "2026-03-02"}, "closed on"),
        (PAPER | {"paper": "deviation", "closed on": "2026-02-01"}, "closed on"),
        (PAPER | {"paper": "deviation", "recipe": ""}, "recipe"),
        (PAPER | {"paper": "safety assessment", "by": "somebody"}, "qualification"),
        (PAPER | {"paper": "eye assessment", "qualification": "a diploma"}, "by"),
    ],
)
def test_a_wrong_paper_is_a_fault_of_its_cell(folder: Path, cells, column) -> None:
    row = append_cells(folder, "papers.csv", cells)
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == ("papers.csv", row, column)


WATCHED = {"recipe": "r4-balm", "batch": "01", "day": "3", "at [°C]": "20"}


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        (WATCHED, "as before"),
        (WATCHED | {"as before": "perhaps"}, "as before"),
        (WATCHED | {"day": "-1", "as before": "yes"}, "day"),
        (WATCHED | {"pH": "15"}, "pH"),
        (WATCHED | {"spread [cm]": "0"}, "spread [cm]"),
    ],
)
def test_a_wrong_look_is_a_fault_of_its_cell(folder: Path, cells, column) -> None:
    row = append_cells(folder, "watch.csv", cells)
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == ("watch.csv", row, column)


@pytest.mark.parametrize(
    ("column", "text"),
    [("containers", "0"), ("dose [g]", "0"), ("shop dose [g]", "x"), ("dose from", "")],
)
def test_a_wrong_wish_is_a_fault_of_its_cell(folder: Path, column, text) -> None:
    row = row_of(folder, "decisions.csv", recipe="r4-balm")
    change(folder, "decisions.csv", row, column, text)
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == ("decisions.csv", row, column)


@pytest.mark.parametrize("file", ["papers.csv", "watch.csv"])
def test_a_row_that_cannot_be_read_is_told_with_every_recipe(folder: Path, file) -> None:
    """It may be a deviation, or a change that was seen: leaving it out in silence would look fine."""
    change(folder, file, 2, "date" if file == "papers.csv" else "day", "soon")
    for judged in judge_folder(folder):
        assert "table.not_counted" in {f.code for f in judged.findings}
