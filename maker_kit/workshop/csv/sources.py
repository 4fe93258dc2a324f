"""Where a workshop's tables come from: a folder of files, or a workbook of sheets; both give the same tables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from maker_kit.workshop.csv.habits import Habits
from maker_kit.workshop.csv.reading import RawTable, read_table

RECIPE_FOLDER = "recipes"
"""Folder of a workshop with the tables of its recipes."""


class Tables(Protocol):
    """The tables of one workshop, by their files' names: ``packs.csv``, ``recipes/hand-wash.csv``.

    Attributes
    ----------
    habits : Habits
        How numbers, dates, weights and prices are written in them.
    """

    habits: Habits

    def table(self, file: str) -> RawTable:
        """One table. Raises WorkshopError with every fault of its shape."""

    def is_away(self, file: str) -> bool:
        """Whether nothing stands there."""

    def recipe_files(self) -> Iterator[str]:
        """The names of what stands among the tables of recipes."""

    def place(self, file: str, row: int | None, column: str) -> str:
        """How a cell is called where a maker looks for it; empty where file, row and heading say it."""

    def told(self, text: str) -> str:
        """A sentence that names tables as the maker sees them."""


@dataclass(frozen=True)
class TableFolder:
    """A folder of CSV files.

    Attributes
    ----------
    folder : Path
    habits : Habits
    """

    folder: Path
    habits: Habits = field(default_factory=Habits)

    def table(self, file: str) -> RawTable:
        """One table. Raises WorkshopError with every fault of its shape."""
        return read_table(self.folder / file, file)

    def is_away(self, file: str) -> bool:
        """Whether nothing stands there; what is there and cannot be looked at is read, which says so."""
        path = self.folder / file
        try:
            return not path.exists() and not path.is_symlink()
        except (OSError, ValueError):
            return False

    def recipe_files(self) -> Iterator[str]:
        """The names of what stands in the folder of recipes."""
        try:
            yield from sorted(p.name for p in (self.folder / RECIPE_FOLDER).iterdir())
        except OSError:
            return

    def place(self, file: str, row: int | None, column: str) -> str:
        """Empty: file, row and heading say it."""
        return ""

    def told(self, text: str) -> str:
        """The sentence as it is."""
        return text
