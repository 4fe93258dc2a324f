"""A workshop of one's own whose every table was opened and saved by a spreadsheet program still loads, to the same workshop."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from workshop_files import DATA

from maker_kit.formula.recipe import Line
from maker_kit.workshop import Workshop, load_workshop, new_workshop
from maker_kit.workshop.saving import save_recipe

SOFFICE = shutil.which("soffice") or shutil.which("libreoffice")
pytestmark = pytest.mark.skipif(SOFFICE is None, reason="no spreadsheet program here to open and save the tables with (LibreOffice: apt-get install libreoffice-calc-nogui)")

# separator, quote, character set UTF-8 (76), first row; on the way out also: language as is, quotes only where needed, cells as shown
COMMA, SEMICOLON = 44, 59


def open_and_save(folder: Path, work: Path, delimiter: int) -> None:
    """Open every table of a folder and save it again, in one call of the program."""
    out = work / "out"
    files = sorted(folder.rglob("*.csv"))
    assert len({f.name for f in files}) == len(files)
    subprocess.run(
        [str(SOFFICE), f"-env:UserInstallation={(work / 'profile').as_uri()}", "--headless", "--norestore", "--infilter=Text - txt - csv (StarCalc):44,34,76,1", "--convert-to",
         f"csv:Text - txt - csv (StarCalc):{delimiter},34,76,1,,0,false,true,false", "--outdir", str(out), *map(str, files)],
        check=True, capture_output=True, timeout=240,
    )
    assert {f.name for f in out.iterdir()} == {f.name for f in files}
    for file in files:
        shutil.copyfile(out / file.name, file)


@pytest.fixture(scope="module")
def mine(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Workshop]:
    """A second workshop, with a recipe of its own that has dates, small numbers and text that looks like a formula."""
    folder = new_workshop(tmp_path_factory.mktemp("mine") / "workshop")
    lines = (Line("A", "Water", 94.9877, balance=True), Line("A", "Glycerin", 4.0), Line("2", "Preservative P", 1.0), Line("2", "Citric acid", 0.0123))
    save_recipe(folder, "r9-mine", "=1+1", lines, "own trials, page 3/4; 1-2", date(2026, 3, 2), like="r2-gel-cream", about={"density [g/mL]": 0.9805, "version": "1.10"})
    return folder, load_workshop(folder)


@pytest.mark.parametrize("delimiter", [COMMA, SEMICOLON], ids=["commas", "semicolons"])
def test_a_workshop_saved_by_a_spreadsheet_program_is_the_same(mine: tuple[Path, Workshop], tmp_path: Path, delimiter: int) -> None:
    folder, before = mine
    copy = Path(shutil.copytree(folder, tmp_path / "copy"))
    untouched = {p.name: p.read_bytes() for p in copy.rglob("*.csv")}
    open_and_save(copy, tmp_path, delimiter)
    assert any(p.read_bytes() != untouched[p.name] for p in copy.rglob("*.csv"))
    after = load_workshop(copy)
    assert replace(after, folder=before.folder, recipes=before.recipes) == before
    for name, recipe in before.recipes.items():
        version = after.recipes[name].version
        assert replace(after.recipes[name], version=recipe.version) == recipe
        assert float(version) == float(recipe.version)  # a spreadsheet program takes 1.10 for the number 1.1, and says so by showing 1.1


def test_a_recipe_is_saved_into_a_workshop_that_a_spreadsheet_program_wrote(tmp_path: Path) -> None:
    folder = new_workshop(tmp_path / "workshop")
    open_and_save(folder, tmp_path, COMMA)
    save_recipe(folder, "again", "Saved after", (Line("A", "Water", 100.0),), "own trials", date(2026, 3, 2), like="r2-gel-cream")
    open_and_save(folder, tmp_path, SEMICOLON) if (tmp_path / "out").rename(tmp_path / "first") else None
    loaded = load_workshop(folder)
    assert loaded.recipes["again"].written_on == date(2026, 3, 2)
    assert {n: r for n, r in loaded.recipes.items() if n != "again"} == load_workshop(DATA).recipes
