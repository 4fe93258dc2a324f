"""Which sheet of a workbook holds which table, and what a sheet's name means."""

from __future__ import annotations

import re
from dataclasses import replace

from maker_kit.names import name_key
from maker_kit.workshop.csv.columns import Column
from maker_kit.workshop.csv.tables import LINES, STEPS, TABLES

END = ".xlsx"
BOOK = "workshop.xlsx"
"""Name of the workbook in a workshop's folder that has no tables as files."""
LINES_SHEET, STEPS_SHEET = LINES.name, STEPS.name
OF_RECIPE = "recipe"
"""Heading of the column that says of which recipe a line or a step is."""
_RECIPE = Column(OF_RECIPE, "name", True)
_RECIPE_FILE = re.compile(r"recipes/(?P<name>.+?)(?P<steps>\.steps)?\.csv")


SHEETS = {
    **{spec.file.removesuffix(".csv"): spec for spec in TABLES},
    **{spec.name: replace(spec, front=(_RECIPE,), keys=f"recipe {spec.keys}") for spec in (LINES, STEPS)},
}
"""Sheet → its table; the lines and the steps of all recipes stand in one sheet each, with the recipe in front."""
_BY_KEY = {name_key(sheet.replace("_", " ")): sheet for sheet in SHEETS}


def sheet_named(title: str) -> str:
    """The sheet that a title means, capitals, blanks, strokes and an ending ``.csv`` aside; empty where it is none."""
    plain = re.sub(r"(?i)\.csv$", "", title.strip())
    return _BY_KEY.get(name_key(re.sub(r"[_-]+", " ", plain)), "")


def sheet_of(file: str) -> tuple[str, str]:
    """The sheet of a table's file, and the recipe that it is of; both empty for a file that no workbook holds.

    ``recipes/hand-wash.steps.csv`` is in ``recipe_steps``, of ``hand-wash``.
    """
    if found := _RECIPE_FILE.fullmatch(file):
        return (STEPS_SHEET if found["steps"] else LINES_SHEET), found["name"]
    sheet = file.removesuffix(".csv")
    return (sheet, "") if sheet in SHEETS else ("", "")


def file_of(sheet: str, recipe: str = "") -> str:
    """The file that holds the same as a sheet, or as a recipe's rows in it."""
    if sheet in (LINES_SHEET, STEPS_SHEET):
        return f"recipes/{recipe}{SHEETS[sheet].file}"
    return SHEETS[sheet].file


_FILES = {spec.file: sheet for sheet, spec in SHEETS.items() if spec.file in {t.file for t in TABLES}}
_NAMED = re.compile("|".join(rf"(?<![\w/-]){re.escape(file)}" for file in sorted(_FILES, key=len, reverse=True)))
_NAMED_RECIPE = re.compile(r"recipes/[\w-]+(\.steps)?\.csv")


def as_sheets(text: str) -> str:
    """A sentence that names files, with the sheets that hold the same in their place."""
    text = _NAMED_RECIPE.sub(lambda m: f"the sheet {STEPS_SHEET if m[1] else LINES_SHEET}", text)
    return _NAMED.sub(lambda m: f"the sheet {_FILES[m[0]]}", text)
