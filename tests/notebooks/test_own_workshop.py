"""Every notebook on a maker's own small workshop: none of the demo's recipes, no kit, no readings, no water; and on one
whose tables are empty. They run in this process; in a kernel of their own they do on the demo.
"""

from __future__ import annotations

import os
from pathlib import Path
from shutil import copytree

import pytest
from ipywidgets import Widget
from workshop.workshop_files import DATA, read_rows, write_rows

from maker_kit.errors import NoticeError
from maker_kit.workbook.asked import pasted
from maker_kit.workbook.keep import keep_text
from maker_kit.workbook.run.report import run_notebook
from maker_kit.workshop import load_workshop, new_workshop

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
NAMES = tuple(sorted(path.stem for path in NOTEBOOKS.glob("[0-9]*.ipynb")))
REPORT = "06_costing_report"
EMPTY = ("kits.csv", "thickness.csv", "swaps.csv", "targets.csv", "papers.csv", "watch.csv", "decisions.csv")


@pytest.fixture(scope="module")
def owned(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A demo recipe → the workshop that holds only it, made once; each test runs on a copy of its own."""
    return {
        demo: own(tmp_path_factory.mktemp("own") / "mine", demo, "mine") for demo in ("r4-balm", "r3v1-cleansing-water")
    }


def own(folder: Path, demo: str, name: str) -> Path:
    """A workshop with one recipe of the demo's tables under another name, and no kit, readings or swaps."""
    new_workshop(folder)
    for table in EMPTY:
        write_rows(folder / table, read_rows(folder / table)[:1])
    heads, *rows = read_rows(folder / "recipes.csv")
    kept = next(row for row in rows if row[0] == demo)
    write_rows(folder / "recipes.csv", [heads, [name, *kept[1:]]])
    for path in list((folder / "recipes").iterdir()):
        if path.name.startswith(f"{demo}."):
            path.rename(path.with_name(name + path.name.removeprefix(demo)))
        else:
            path.unlink()
    assert list(load_workshop(folder).recipes) == [name]
    return folder


WITH_WATER = ("01_formula", "01c_thickness", "01d_preservation", "02_make_or_buy", "04a_our_label")
"""Notebooks that show other things of a recipe with water."""


@pytest.mark.parametrize(
    ("notebook", "demo"), [(n, "r4-balm") for n in NAMES] + [(n, "r3v1-cleansing-water") for n in WITH_WATER]
)
def test_it_runs_with_nothing_named(notebook: str, demo: str, owned: dict[str, Path], tmp_path: Path) -> None:
    folder = copytree(owned[demo], tmp_path / "mine")
    run = run_notebook(NOTEBOOKS / f"{notebook}.ipynb", tmp_path / "run.ipynb", {"workshop": str(folder)}, here=True)
    assert all(cell["execution_count"] for cell in run["cells"] if cell["cell_type"] == "code")


@pytest.mark.parametrize("notebook", ["00_start_here", "02_make_or_buy", "03a_after", REPORT])
def test_it_finds_the_workshop_that_the_environment_names(
    notebook: str, owned: dict[str, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = copytree(owned["r4-balm"], tmp_path / "mine")
    monkeypatch.setenv("MAKER_KIT_WORKSHOP", str(folder))
    run = run_notebook(NOTEBOOKS / f"{notebook}.ipynb", tmp_path / "run.ipynb", {}, here=True)
    if notebook == "03a_after":  # it tells of batches, and none was made in it
        assert str(folder) in os.environ["MAKER_KIT_WORKSHOP"]
        assert all(cell["execution_count"] for cell in run["cells"] if cell["cell_type"] == "code")
    else:
        assert "Hand and heel balm" in str(run)


@pytest.mark.parametrize("notebook", [name for name in NAMES if name != REPORT])
def test_in_an_empty_workshop_it_says_what_to_fill_in_first(notebook: str, tmp_path: Path) -> None:
    Widget.close_all()
    folder = new_workshop(tmp_path / "mine", empty=True)
    run = run_notebook(NOTEBOOKS / f"{notebook}.ipynb", tmp_path / "run.ipynb", {"workshop": str(folder)}, here=True)
    assert all(cell["execution_count"] for cell in run["cells"] if cell["cell_type"] == "code")
    if notebook != "01a_from_any_text":  # there the first recipe is written
        assert "holds no recipe yet" in str(Widget.get_manager_state())


def test_in_an_empty_workshop_the_report_is_refused_with_a_sentence(tmp_path: Path) -> None:
    folder = new_workshop(tmp_path / "mine", empty=True)
    with pytest.raises(NoticeError, match=r"fill in containers\.csv and ingredients\.csv first"):
        run_notebook(NOTEBOOKS / f"{REPORT}.ipynb", tmp_path / "run.ipynb", {"workshop": str(folder)}, here=True)


def test_a_first_recipe_is_pasted_and_kept_in_a_workshop_that_held_none(tmp_path: Path) -> None:
    folder = new_workshop(tmp_path / "mine", empty=True)
    wanted = {"ingredients.csv": ("Shea butter", "Sunflower oil", "Scent 2"), "containers.csv": ("60 mL tin",)}
    for table, names in wanted.items():
        heads, *rows = read_rows(DATA / table)
        write_rows(folder / table, [heads, *(row for row in rows if row[0] in names)])
    parsed = pasted(load_workshop(folder), "20 g shea butter; sunflower oil to 50 g; 0.25 g scent 2")
    about = {"where it goes": "hands", "rinse-off or leave-on": "leave-on", "container": "60 mL tin", "fill": "25 g"}
    keep_text(load_workshop(folder), parsed, "first", "My first balm", "my own", "", about=about)
    made = load_workshop(folder).recipe("first")
    assert made.percent_of("Shea butter") == pytest.approx(40, abs=0.005)
    assert (made.scent, made.container) == ("Scent 2", "60 mL tin")
