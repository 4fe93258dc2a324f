"""The tables of a workbook that was read: which sheet holds which, and how its cells are called."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from maker_kit.errors import Fault, WorkshopError
from maker_kit.findings import Finding
from maker_kit.names import name_key
from maker_kit.workshop.csv.columns import bare
from maker_kit.workshop.csv.faults import FaultBook, shown
from maker_kit.workshop.csv.habits import Habits
from maker_kit.workshop.csv.reading import RawTable
from maker_kit.workshop.xlsx.sheets import (
    LINES_SHEET,
    OF_RECIPE,
    STEPS_SHEET,
    as_sheets,
    file_of,
    sheet_of,
)


@dataclass(frozen=True)
class Sheet:
    """One sheet that holds a table.

    Attributes
    ----------
    title : str
        As it stands on its tab.
    table : RawTable
    columns : tuple of int
        Number of the column (A is 1) of each heading.
    head : int
        Row of the headings.
    """

    title: str
    table: RawTable
    columns: tuple[int, ...]
    head: int


@dataclass(frozen=True)
class TableBook:
    """The tables of a workbook; what `maker_kit.workshop.csv.sources.Tables` asks for.

    Attributes
    ----------
    path : Path
    raw : bytes
        The file as it was read.
    sheets : Mapping of str to Sheet or tuple of Fault
        By the sheet's own name; the faults of its shape where it has some.
    faults : tuple of Fault
        Those of the workbook itself.
    notes : tuple of Finding
        What is good to know: sheets that are hidden, or not read.
    parts : Mapping of str to str
        Where each sheet stands in the file, by its title.
    habits : Habits
    """

    path: Path
    raw: bytes = field(repr=False)
    sheets: Mapping[str, Sheet | tuple[Fault, ...]] = field(repr=False)
    faults: tuple[Fault, ...] = ()
    notes: tuple[Finding, ...] = ()
    parts: Mapping[str, str] = field(default_factory=dict, repr=False)
    habits: Habits = field(default_factory=Habits)
    _recipes: dict[str, Mapping[str, list[int]]] = field(default_factory=dict, repr=False, compare=False)

    def table(self, file: str) -> RawTable:
        """One table. Raises WorkshopError with every fault of its shape."""
        name, recipe = sheet_of(file)
        sheet = self.sheets.get(name)
        if sheet is None:
            book = FaultBook(self.place, self.told)
            mend = "put the sheet back, or give it its name again; an empty table is a sheet with its headings only"
            book.add(file, None, "", f"no sheet called {shown(name)}", "a sheet of that name", mend)
            raise WorkshopError(book.faults)
        if isinstance(sheet, tuple):
            raise WorkshopError(sheet)
        return self._of_recipe(name, sheet, file, recipe) if recipe else sheet.table

    def _of_recipe(self, name: str, sheet: Sheet, file: str, recipe: str) -> RawTable:
        table = sheet.table
        at = self.at_recipe(sheet)
        header = tuple(h for k, h in enumerate(table.header) if k != at)
        places = self._rows_by_recipe(name).get(name_key(recipe), [])
        rows = tuple((table.rows[p][0], tuple(c for k, c in enumerate(table.rows[p][1]) if k != at)) for p in places)
        typed = {
            (number, k - (at is not None and k > at)): kind
            for number, cells in (table.rows[p] for p in places)
            for k in range(len(cells))
            if k != at and (kind := table.typed.get((number, k)))
        }
        return RawTable(file, header, rows, typed=typed, sheet=True)

    @staticmethod
    def at_recipe(sheet: Sheet) -> int | None:
        """The place among the headings of the column that names the recipe; None where there is none."""
        return next((k for k, h in enumerate(sheet.table.header) if bare(h) == bare(OF_RECIPE)), None)

    def _rows_by_recipe(self, name: str) -> Mapping[str, list[int]]:
        """The places of the rows of every recipe in a sheet, worked out once."""
        if name not in self._recipes:
            sheet, found = self.sheets.get(name), {}
            if isinstance(sheet, Sheet) and (at := self.at_recipe(sheet)) is not None:
                for place, (_, cells) in enumerate(sheet.table.rows):
                    found.setdefault(name_key(cells[at]), []).append(place)
            self._recipes[name] = found
        return self._recipes[name]

    def is_away(self, file: str) -> bool:
        """Whether there is no such sheet, or nothing of that recipe in it."""
        name, recipe = sheet_of(file)
        sheet = self.sheets.get(name)
        return sheet is None or bool(
            recipe and isinstance(sheet, Sheet) and not self._rows_by_recipe(name).get(name_key(recipe))
        )

    def recipe_files(self) -> Iterator[str]:
        """The names of the files that would hold the lines and the steps of each recipe."""
        for name in (LINES_SHEET, STEPS_SHEET):
            sheet = self.sheets.get(name)
            at = self.at_recipe(sheet) if isinstance(sheet, Sheet) else None
            for places in self._rows_by_recipe(name).values():
                recipe = " ".join(sheet.table.rows[places[0]][1][at].split())  # type: ignore[union-attr, index]
                if recipe:
                    yield file_of(name, recipe).removeprefix("recipes/")

    def place(self, file: str, row: int | None, column: str) -> str:
        """A cell as spreadsheets call it, ``packs!F12``; a row as ``packs!12``, a sheet as ``sheet packs``."""
        name, recipe = sheet_of(file)
        sheet = self.sheets.get(name)
        if not name:
            return "" if file != self.path.name else file
        if not isinstance(sheet, Sheet):
            return f"sheet {name}"
        if recipe and row is None and (places := self._rows_by_recipe(name).get(name_key(recipe))):
            row = sheet.table.rows[places[0]][0]
        if row == 1:
            row = sheet.head
        if row is None:
            return f"sheet {sheet.title}"
        quoted = f"'{sheet.title}'" if not sheet.title.replace("_", "").isalnum() else sheet.title
        headings = [bare(h) for h in sheet.table.header]
        if column and bare(column) in headings:
            return f"{quoted}!{letters(sheet.columns[headings.index(bare(column))])}{row}"
        return f"{quoted}!{row}"

    def told(self, text: str) -> str:
        """The sentence with sheets in the place of files."""
        return as_sheets(text)


def letters(column: int) -> str:
    """The letters of a column: A is 1, AB is 28."""
    text = ""
    while column:
        column, rest = divmod(column - 1, 26)
        text = chr(ord("A") + rest) + text
    return text
