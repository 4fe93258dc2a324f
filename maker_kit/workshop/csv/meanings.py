"""What every column of every table means, with an example and what an empty cell says: the reference of tables."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib import resources

from maker_kit.workshop.csv.columns import Column, TableSpec
from maker_kit.workshop.csv.tables import LINES, SETTINGS, STEPS, TABLES

_NOTE = ("anything you want to remember about this row; nothing is read from it", "from the fair in May", "")
_BLANK = {"": "none", None: "not known", (): "none", False: "no", True: "yes"}
OF_ALL = "recipe_lines", "recipe_steps"


@cache
def _told() -> Mapping[str, Mapping[str, tuple[str, str, str]]]:
    """Table → the key of a column, empty for the table itself → what it means, an example and (where it is not
    plain) what an empty cell says; from ``meanings.csv`` beside this file.
    """
    found: dict[str, dict[str, tuple[str, str, str]]] = {}
    with resources.files(__package__).joinpath("meanings.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            found.setdefault(row["table"], {})[row["column"]] = (row["means"], row["example"], row["empty"])
    return found


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

    Raises
    ------
    KeyError
        If nothing is written down about it; a test keeps that from happening.
    """
    told = (
        _told()[table].get(column.key)
        or {"note": _NOTE, "recipe": ("short name of the recipe", "hand-wash", "")}[column.key]
    )
    means, example, empty = told
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
    for column in SETTINGS:
        yield meaning_of("settings", column)


def tables() -> Iterator[tuple[str, TableSpec, str]]:
    """Every table with its name and what it is for: those of the workshop, then those of each recipe."""
    for spec in TABLES:
        name = spec.file.removesuffix(".csv")
        yield name, spec, _told()[name][""][0]
    for name, spec in zip(OF_ALL, (LINES, STEPS), strict=True):
        yield name, spec, _told()[name][""][0]
