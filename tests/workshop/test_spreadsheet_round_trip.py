"""A workshop of one's own whose every table was opened and saved by a spreadsheet program still loads, to the same
workshop.
"""

from __future__ import annotations

import re
import shutil
import tempfile
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from demo_workshop import demo
from spreadsheet import PLAIN, PROGRAM, convert, why_not, why_not_here
from workshop_files import read_rows, write_rows

from maker_kit.errors import WorkshopError
from maker_kit.formula.recipe import Line
from maker_kit.workshop import Workshop, load_workshop, new_workshop
from maker_kit.workshop.saving import save_recipe

DECIMAL = re.compile(r"-?[0-9]+\.[0-9]+( (g|kg|mL|L|oz|fl oz))?")
SEMICOLONS = "44,34,76,1", "59,34,76,1,,0,false,true,false"
FINDING = "44,34,76,1,,1033,false,true", "44,34,76,1,,1033,false,true,false"
ALL_QUOTED = "44,34,76,1", "44,34,76,1,,0,true,true,false"
GERMAN_COMMAS = "59,34,76,1,,1031,false,true", "59,34,76,1,,1031,false,true,false"
GERMAN_POINTS = "44,34,76,1,,1031,false,true", "59,34,76,1,,1031,false,true,false"


def open_and_save(folder: Path, work: Path, how: tuple[str, str]) -> None:
    """Open every table of a folder and save it again, in one call of the program."""
    out = Path(tempfile.mkdtemp(dir=work))
    files = sorted(folder.rglob("*.csv"))
    assert len({f.name for f in files}) == len(files)
    convert(str(PROGRAM), files, out, work / "profile", how)
    assert {f.name for f in out.iterdir()} == {f.name for f in files}
    for file in files:
        shutil.copyfile(out / file.name, file)


@pytest.fixture(scope="module")
def calc() -> None:
    """Where no program opens and saves a table, what needs one is skipped with a sentence."""
    if reason := why_not_here():
        pytest.skip(reason)


def test_a_program_that_opens_no_table_is_told_in_a_sentence(tmp_path: Path) -> None:
    silent = tmp_path / "soffice"
    silent.write_text("#!/bin/sh\nexit 0\n", encoding="utf-8")
    silent.chmod(0o755)
    assert why_not(str(silent)).startswith("soffice is here and opens no table")
    assert why_not(None).startswith("no spreadsheet program here")


@pytest.fixture(scope="module")
def mine(calc: None, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Workshop]:
    """A second workshop, with a recipe of its own that has dates, small numbers and text that looks like a formula."""
    folder = new_workshop(tmp_path_factory.mktemp("mine") / "workshop")
    lines = (
        Line("A", "Water", 94.9877, balance=True),
        Line("A", "Glycerin", 4.0),
        Line("2", "Preservative P", 1.0),
        Line("2", "Citric acid", 0.0123),
    )
    save_recipe(
        folder,
        "r9-mine",
        "=1+1",
        lines,
        "own trials, page 3/4; 1-2",
        date(2026, 3, 2),
        like="r2-gel-cream",
        about={"density [g/mL]": 0.9805, "version": "1.10"},
    )
    return folder, load_workshop(folder)


def assert_same(after: Workshop, before: Workshop) -> None:
    """The same, but that a spreadsheet program takes a version 1.10 for the number 1.1."""
    assert replace(after, folder=before.folder, recipes=before.recipes) == before
    assert list(after.recipes) == list(before.recipes)
    for name, recipe in before.recipes.items():
        assert replace(after.recipes[name], version=recipe.version) == recipe
        assert float(after.recipes[name].version) == float(recipe.version)


@pytest.mark.parametrize(
    "how",
    [PLAIN, SEMICOLONS, FINDING, ALL_QUOTED],
    ids=["commas", "semicolons", "numbers and dates found", "all quoted"],
)
def test_a_workshop_saved_by_a_spreadsheet_program_is_the_same(
    mine: tuple[Path, Workshop], tmp_path: Path, how: tuple[str, str]
) -> None:
    folder, before = mine
    copy = Path(shutil.copytree(folder, tmp_path / "copy"))
    untouched = {p.name: p.read_bytes() for p in copy.rglob("*.csv")}
    open_and_save(copy, tmp_path, how)
    assert any(p.read_bytes() != untouched[p.name] for p in copy.rglob("*.csv"))
    assert_same(load_workshop(copy), before)


def test_a_workshop_with_decimal_commas_is_the_same_in_a_program_that_uses_them(
    mine: tuple[Path, Workshop], tmp_path: Path
) -> None:
    folder, before = mine
    copy = Path(shutil.copytree(folder, tmp_path / "copy"))
    for path in copy.rglob("*.csv"):
        write_rows(
            path,
            [[cell.replace(".", ",") if DECIMAL.fullmatch(cell) else cell for cell in row] for row in read_rows(path)],
            delimiter=";",
        )
    change_back = load_workshop(copy).recipes["r9-mine"].version
    assert change_back == "1,10"
    open_and_save(copy, tmp_path, GERMAN_COMMAS)
    after = load_workshop(copy)
    mended = {n: replace(r, version=r.version.replace(",", ".")) for n, r in after.recipes.items()}
    assert_same(replace(after, recipes=mended), before)


def test_points_that_a_program_took_for_thousands_are_refused_in_words(
    mine: tuple[Path, Workshop], tmp_path: Path
) -> None:
    copy = Path(shutil.copytree(mine[0], tmp_path / "copy"))
    open_and_save(copy, tmp_path, GERMAN_POINTS)
    with pytest.raises(WorkshopError, match=r"ingredients\.csv, row 2, column 'density \[g/mL\]': found \"998\""):
        load_workshop(copy)


@pytest.mark.usefixtures("calc")
def test_a_recipe_is_saved_into_a_workshop_that_a_spreadsheet_program_wrote_and_writes_again(tmp_path: Path) -> None:
    folder = new_workshop(tmp_path / "workshop")
    open_and_save(folder, tmp_path, PLAIN)
    save_recipe(
        folder,
        "again",
        "Saved after",
        (Line("A", "Water", 100.0),),
        "own trials",
        date(2026, 3, 2),
        like="r2-gel-cream",
    )
    open_and_save(folder, tmp_path, SEMICOLONS)
    loaded = load_workshop(folder)
    assert loaded.recipes["again"].written_on == date(2026, 3, 2)
    assert {n: r for n, r in loaded.recipes.items() if n != "again"} == demo().recipes
