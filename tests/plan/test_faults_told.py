"""Tables with one faulty row: what stands on it falls away and is told in a sentence, the other recipes go on."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

import pytest
from demo_workshop import demo

from maker_kit import cli
from maker_kit.plan import make_plan
from maker_kit.workbook.panels.changes import changes_panel
from maker_kit.workbook.panels.formula import formula_panel
from maker_kit.workbook.panels.make_or_buy import make_or_buy_panel
from maker_kit.workbook.panels.preservation import preservation_panel
from maker_kit.workbook.panels.start import StartScreen, start_panel
from maker_kit.workbook.panels.thickness import thickness_panel
from maker_kit.workbook.shown.answers import faults_told
from maker_kit.workshop import demo_folder, load_workshop


def spoil(folder: Path, file: str, row: int, heading: str, text: str) -> None:
    """One cell of a table overwritten; row 0 is the first under the headings."""
    path = folder / file
    with path.open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened))
    rows[row][heading] = text
    with path.open("w", encoding="utf-8", newline="") as opened:
        writer = csv.DictWriter(opened, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = Path(shutil.copytree(demo_folder(), tmp_path / "mine"))
    spoil(made, "recipes/r2-gel-cream.csv", 0, "percent", "a lot")
    return made


def test_the_report_of_a_sound_recipe_is_written_beside_a_faulty_one(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["report", "r4-balm", "--workshop", str(folder), "--set", "upto=2", "--to", str(tmp_path / "out")]
    assert cli.main(words) == 0, capsys.readouterr().err
    page = (tmp_path / "out" / "r4-balm.html").read_text(encoding="utf-8")
    assert "a lot" in page
    assert "r2-gel-cream" in page


def test_the_report_of_the_faulty_recipe_is_refused(folder: Path, tmp_path: Path) -> None:
    assert cli.main(["report", "r2-gel-cream", "--workshop", str(folder), "--to", str(tmp_path / "out")]) == 1


def test_the_first_screen_lists_the_others_and_tells_the_fault(folder: Path) -> None:
    shop = load_workshop(folder, partly=True)
    screen = StartScreen(shop)
    assert set(screen.plans) == set(shop.recipes)
    assert "r2-gel-cream" not in screen.plans
    (told,) = faults_told(shop)
    assert told.count("r2-gel-cream") >= 1


def test_tables_without_a_fault_have_nothing_to_tell() -> None:
    assert faults_told(demo()) == ()


def test_a_rule_that_cannot_be_read_is_told_in_every_plan(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(demo_folder(), tmp_path / "mine"))
    with (folder / "avoid.csv").open("a", encoding="utf-8") as file:
        file.write(",,,,\n,why without a name\n")
    shop = load_workshop(folder, partly=True)
    assert shop.not_counted
    assert "table.not_counted" in {f.code for f in make_plan(shop, "r4-balm").findings}


@pytest.mark.parametrize(
    "screen",
    [start_panel, formula_panel, make_or_buy_panel, thickness_panel, preservation_panel, changes_panel],
    ids=lambda call: call.__name__,
)
def test_every_screen_works_on_the_others_and_tells_the_fault_over_them(screen, folder: Path) -> None:
    shown = screen(load_workshop(folder, partly=True))
    assert "a lot" in shown.children[0].value
    assert "r2-gel-cream" in shown.children[0].value
    assert "a lot" not in getattr(screen(demo()).children[0], "value", "")


def test_where_every_recipe_is_left_out_only_the_fault_is_shown(folder: Path) -> None:
    for path in (folder / "recipes").glob("*.csv"):
        if not path.name.endswith(".steps.csv"):
            spoil(folder, f"recipes/{path.name}", 0, "percent", "a lot")
    shown = formula_panel(load_workshop(folder, partly=True))
    assert "a lot" in shown.value
