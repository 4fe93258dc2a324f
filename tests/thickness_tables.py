"""A maker's workshop with a thickness curve of its own: the demo's tables with other readings of the gel cream's
thickener, written with Python's csv module and nothing of ours.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path

from workshop.workshop_files import DATA, change, read_rows, row_of, write_rows

from maker_kit.workshop import Workshop, load_workshop

GEL = "r2-gel-cream"
HEADINGS = [
    "recipe",
    "ingredient",
    "level [%]",
    "spread [cm]",
    "funnel [s]",
    "viscosity [mPas]",
    "at [°C]",
    "after [h]",
    "repeat",
    "note",
]
NO_SPREAD = {"shop spread [cm]": "", "spread from [cm]": "", "spread to [cm]": ""}
# invented: salt in a wash turns (spreads), a gum in a funnel, salt by an instrument; levels scaled to what the demo's
# supplier allows
SALT = [(0.2, 14), (0.4, 9), (0.6, 6), (0.8, 8.5), (1.0, 13)]
FUNNEL = [(0.2, 4), (0.4, 7), (0.4, 8), (0.6, 12), (0.6, 13), (0.8, 21), (1.0, 36)]
VISCOSITY = [(0.2, 500), (0.2, 550), (0.4, 3000), (0.6, 8000), (0.6, 8500), (0.8, 5000), (1.0, 1200)]


def readings(pairs: Iterable[tuple[float, float]], measure: str = "spread") -> list[list[str]]:
    """Rows of thickness.csv, read cold and after a day; the repeats of a level are counted."""
    rows: list[list[str]] = []
    for level, value in pairs:
        figures = [f"{value:g}" if measure == way else "" for way in ("spread", "funnel", "viscosity")]
        repeat = 1 + sum(row[2] == f"{level:g}" for row in rows)
        rows.append([GEL, "Gel former", f"{level:g}", *figures, "20", "24", str(repeat), "invented"])
    return rows


def curve_folder(folder: Path, rows: list[list[str]], wish: Mapping[str, str] | None = None, most: str = "") -> Path:
    """The demo's tables in that folder, with these readings, wishes in recipes.csv and, where given, another supplier's
    most.
    """
    shutil.copytree(DATA, folder)
    write_rows(folder / "thickness.csv", [HEADINGS, *rows])
    table = read_rows(folder / "recipes.csv")
    missing = [heading for heading in wish or {} if heading not in table[0]]
    write_rows(folder / "recipes.csv", [[*table[0], *missing], *([*row, *([""] * len(missing))] for row in table[1:])])
    for heading, text in (wish or {}).items():
        change(folder, "recipes.csv", row_of(folder, "recipes.csv", name=GEL), heading, text)
    if most:
        change(folder, "ingredients.csv", row_of(folder, "ingredients.csv", name="Gel former"), "most [%]", most)
    return folder


def curve_shop(folder: Path, rows: list[list[str]], wish: Mapping[str, str] | None = None, most: str = "") -> Workshop:
    """As `curve_folder`, loaded."""
    return load_workshop(curve_folder(folder, rows, wish, most))
