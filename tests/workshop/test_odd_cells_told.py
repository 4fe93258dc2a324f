"""Cells that look like something and are not: told in a true sentence, or folded."""

from __future__ import annotations

from pathlib import Path

import pytest
from workshop_files import change, row_of

from maker_kit.errors import WorkshopError
from maker_kit.formula.kinds import is_scent
from maker_kit.workshop import load_workshop
from maker_kit.workshop.csv.faults import MOST_SHOWN, shown


def _fault(folder: Path, file: str) -> str:
    with pytest.raises(WorkshopError) as told:
        load_workshop(folder)
    (fault,) = [f for f in told.value.faults if f.file == file]
    return fault.sentence()


@pytest.mark.parametrize("text", ["4_5", "٣.٥", "１２"])
@pytest.mark.parametrize(
    ("file", "cells", "heading", "unit"),
    [
        ("containers.csv", {"container": "60 mL tin"}, "mass [g]", ""),
        ("packs.csv", {"item": "Xanthan gum"}, "size", " g"),
        ("packs.csv", {"item": "Xanthan gum"}, "price", ""),
    ],
)
def test_digits_of_other_scripts_and_marks_between_digits_are_refused(
    folder: Path, file: str, cells: dict[str, str], heading: str, unit: str, text: str
) -> None:
    change(folder, file, row_of(folder, file, **cells), heading, text + unit)
    assert "to mend it" in _fault(folder, file)


def test_more_than_all_is_no_loss(folder: Path) -> None:
    change(folder, "recipes.csv", row_of(folder, "recipes.csv", name="r4-balm"), "loss [%]", "200 sure")
    assert "from 0 to 100 %" in _fault(folder, "recipes.csv")


def test_a_function_in_capitals_is_that_function(folder: Path) -> None:
    change(folder, "ingredients.csv", row_of(folder, "ingredients.csv", name="Scent 1"), "function", "Scent")
    thing = load_workshop(folder).ingredient("Scent 1")
    assert thing.function == "scent"
    assert is_scent(thing)


@pytest.mark.parametrize("sign", ["\x1b[31m", "\u202e", "\x07", "\u2066", "\x9b"])
def test_signs_that_steer_a_screen_are_written_out_and_refused(folder: Path, sign: str) -> None:
    change(folder, "recipes.csv", row_of(folder, "recipes.csv", name="r4-balm"), "title", f"Balm{sign}evil")
    told = _fault(folder, "recipes.csv")
    assert told.isprintable()
    assert sign.encode("unicode_escape").decode()[:4] in told


def test_a_cell_of_ten_thousand_signs_is_cut(folder: Path) -> None:
    change(folder, "recipes.csv", row_of(folder, "recipes.csv", name="r4-balm"), "title", "y" * 10_000)
    told = _fault(folder, "recipes.csv")
    assert "(10000 characters)" in told
    assert len(told) < 400
    assert len(shown("y" * 10_000)) < MOST_SHOWN + 30


def test_a_name_in_other_capitals_than_its_file_is_told_on_every_system(folder: Path) -> None:
    change(folder, "recipes.csv", row_of(folder, "recipes.csv", name="r4-balm"), "name", "R4-Balm")
    with pytest.raises(WorkshopError) as told:
        load_workshop(folder)
    said = [fault.sentence() for fault in told.value.faults]
    assert any("in the capitals of its file, recipes/r4-balm.csv" in sentence for sentence in said)


def test_names_that_differ_in_capitals_only_are_one(folder: Path) -> None:
    change(folder, "recipes.csv", row_of(folder, "recipes.csv", name="r4-balm"), "name", "R5-hand-lotion")
    with pytest.raises(WorkshopError, match="one row for each"):
        load_workshop(folder)


@pytest.mark.parametrize("name", ["../x", "/etc/x", "x/y", "con", "é" * 70, ".hidden"])
def test_what_is_no_recipes_name_is_refused(folder: Path, name: str) -> None:
    change(folder, "recipes.csv", row_of(folder, "recipes.csv", name="r4-balm"), "name", name)
    with pytest.raises(WorkshopError, match="letters a to z"):
        load_workshop(folder)
