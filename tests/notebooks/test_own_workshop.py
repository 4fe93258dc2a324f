"""The notebooks before the bench on a maker's own small workshop: none of the demo's recipes, no kit, no readings, no
water.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from workshop.workshop_files import read_rows, write_rows

from maker_kit.workbook.run.report import run_notebook
from maker_kit.workshop import load_workshop, new_workshop

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
NAMES = (
    "01a_from_any_text",
    "01b_short_swapped_split",
    "01c_thickness",
    "01d_preservation",
    "04_read_a_label",
    "04a_our_label",
)
EMPTY = ("kits.csv", "thickness.csv", "swaps.csv")


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


@pytest.mark.parametrize("notebook", NAMES)
@pytest.mark.parametrize("demo", ["r4-balm", "r3v1-cleansing-water"])
def test_it_runs_with_nothing_named(notebook: str, demo: str, tmp_path: Path) -> None:
    folder = own(tmp_path / "mine", demo, "mine")
    run = run_notebook(NOTEBOOKS / f"{notebook}.ipynb", tmp_path / "run.ipynb", {"workshop": str(folder)})
    assert all(cell.execution_count for cell in run.cells if cell.cell_type == "code")
