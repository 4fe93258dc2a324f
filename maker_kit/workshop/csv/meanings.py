"""What every column of every table means, with an example and what an empty cell says: the reference of tables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from maker_kit.workshop.csv.columns import Column, TableSpec, about, rows_of
from maker_kit.workshop.csv.tables import LINES, SETTINGS, STEPS, TABLES

_RECIPE = {"means": "short name of the recipe", "example": "hand-wash", "empty": ""}
"""Of the column that a workbook's sheet has in front of a recipe's lines and steps."""
_BLANK = {"": "none", None: "not known", (): "none", False: "no", True: "yes"}
OF_ALL = (LINES.name, STEPS.name)


@dataclass(frozen=True)
class Meaning:
    """One column in words.

    Attributes
    ----------
    column : Column
    means : str
        What stands in it.
    example : str
        A cell that can be read.
    empty : str
        What an empty cell says; that it may not be empty, where it may not.
    """

    column: Column
    means: str
    example: str
    empty: str

    def in_words(self) -> str:
        """All of it, as the note of a heading says it."""
        lines = (self.means, f"May hold: {self.column.allows()}.", f"Example: {self.example}", f"Empty: {self.empty}")
        return "\n".join(line[0].upper() + line[1:] for line in lines)


def meaning_of(table: str, column: Column) -> Meaning:
    """What a column means.

    Parameters
    ----------
    table : str
        The table's file without its ending, such as ``packs``; ``recipe_lines`` and ``recipe_steps`` for those of a
        recipe.
    column : Column
    """
    told = next((row for row in rows_of(table) if row["key"] == column.key), _RECIPE)
    means, example, empty = (told[what] for what in ("means", "example", "empty"))
    if column.needed:
        empty = "not allowed" + (f"; {empty}" if empty else "")
    return Meaning(column, means, example, empty or blank_means(column))


def blank_means(column: Column) -> str:
    """What an empty cell says, by what it is read as."""
    blank = column.blank
    if isinstance(blank, bool) or blank in ("", None, ()):
        return _BLANK[blank]
    if column.kind == "money":
        return f"{Decimal(blank) / 100:.2f}"
    return f"{blank}"


def settings() -> Iterator[Meaning]:
    """The settings that workshop.csv may hold, a row each."""
    for column in SETTINGS.columns:
        yield meaning_of("settings", column)


def tables() -> Iterator[tuple[str, TableSpec, str]]:
    """Every table with its name and what it is for: those of the workshop, then those of each recipe."""
    for spec in (*TABLES, LINES, STEPS):
        yield spec.name, spec, about(spec.name)
