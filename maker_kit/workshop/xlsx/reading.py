"""A workbook read as a workshop's tables: one sheet a table, every cell as its text and its kind, nothing ever run."""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from maker_kit.errors import Fault, WorkshopError
from maker_kit.findings import Finding, know
from maker_kit.names import near_miss
from maker_kit.workshop.csv.faults import FaultBook, shown
from maker_kit.workshop.csv.reading import MOST_CELL, MOST_COLUMNS, MOST_ROWS, RawTable, shaped
from maker_kit.workshop.csv.tables import RECIPES
from maker_kit.workshop.csv.typed import FORMULA, MERGED
from maker_kit.workshop.xlsx.book import Sheet, TableBook, letters
from maker_kit.workshop.xlsx.opened import UNREADABLE, Opened, SheetFile, open_file, refuse, refuse_damaged
from maker_kit.workshop.xlsx.sheets import (
    LINES_SHEET,
    OF_RECIPE,
    SHEETS,
    STEPS_SHEET,
    file_of,
    sheet_named,
)
from maker_kit.workshop.xlsx.values import cell_says

_MOST_FOR_ALL = 20 * MOST_ROWS
"""Most rows of the sheets that hold the lines and the steps of all recipes."""


def read_book(path: Path) -> TableBook:
    """Read a workbook's sheets.

    Raises
    ------
    WorkshopError
        If it is no workbook that can be read.
    """
    opened = open_file(path)
    workbooks = _load(opened, path, values=True)
    with_formulas = _load(opened, path, values=False) if any(s.formulas for s in opened.sheets.values()) else None
    sheets: dict[str, Sheet | tuple[Fault, ...]] = {}
    book, notes, others = FaultBook(), [], []
    recipes = FaultBook()
    try:
        for page in workbooks.worksheets:
            name = sheet_named(page.title)
            if not name:
                others.append(page.title)
                continue
            if name in sheets:
                mend = "look which is the newer, and delete the other or give it a name that is no table's"
                book.add(path.name, None, "", f"two sheets for {name}", f"one sheet {name}", mend)
                continue
            info = opened.sheets.get(page.title, SheetFile("", (), False))
            formulas = with_formulas[page.title] if with_formulas is not None and info.formulas else None
            sheets[name] = _sheet(name, page, info, formulas)
            if page.sheet_state != "visible":
                text = f'The sheet "{page.title}" is hidden, and it is read all the same.'
                notes.append(
                    know("sheet.hidden", (path.name, page.title), text, next_step="show it to see what counts")
                )
    except UNREADABLE as error:
        refuse_damaged(path.name, error)
    finally:
        workbooks.close()
        if with_formulas is not None:
            with_formulas.close()
    _check_others(others, sheets, path.name, book, notes)
    parts = {title: info.part for title, info in opened.sheets.items()}
    found = TableBook(path, opened.raw, sheets, (), tuple(notes), parts)
    _check_recipes(found, recipes)
    return replace(found, faults=(*book.faults, *recipes.faults))


def _load(opened: Opened, path: Path, *, values: bool) -> Any:
    import openpyxl

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of extensions that only matter when the file is written again
        try:
            return openpyxl.load_workbook(io.BytesIO(opened.raw), read_only=True, data_only=values, keep_links=False)
        except UNREADABLE as error:
            refuse_damaged(path.name, error)


def _sheet(name: str, page: Any, info: SheetFile, formulas: Any) -> Sheet | tuple[Fault, ...]:
    """A sheet's table, or the faults of its shape."""
    file = file_of(name, OF_RECIPE)
    if name in (LINES_SHEET, STEPS_SHEET):
        file = RECIPES.file  # what stands in one row of it, no recipe can do without
    try:
        return _filled(name, page, info, formulas, file)
    except WorkshopError as error:
        return tuple(
            Fault(
                f.file,
                f.row,
                f.column,
                f.found,
                f.allowed,
                f.mend,
                f"{page.title}!{f.row}" if f.row else f"sheet {page.title}",
            )
            for f in error.faults
        )


def _filled(name: str, page: Any, info: SheetFile, formulas: Any, file: str) -> Sheet:
    most = _MOST_FOR_ALL if name in (LINES_SHEET, STEPS_SHEET) else MOST_ROWS
    rows: list[tuple[int, list[str]]] = []
    kinds: dict[tuple[int, int], str] = {}
    page.reset_dimensions()
    for number, cells in enumerate(page.iter_rows(), start=1):
        said = []
        for place, cell in enumerate(cells):
            if (value := cell.value) is None:
                said.append("")
                continue
            text, kind = cell_says(value, cell.data_type, cell.number_format if cell.data_type == "n" else "")
            said.append(text)
            if kind:
                kinds[number, place] = kind
            if len(text) > MOST_CELL:
                refuse(
                    file, shown(text), f"cells of at most {MOST_CELL} characters", f"shorten the text in row {number}"
                )
        if any(map(str.strip, said)):
            rows.append((number, said))
            if len(rows) > most + 1:
                refuse(
                    file, f"more than {most} rows", f"at most {most} rows", "look whether the right sheet stands there"
                )
    _mark_formulas(formulas, kinds, rows)
    if not rows:
        mend = "put the headings and rows back; a table without rows holds only its headings"
        refuse(file, "an empty sheet", "a table with its headings in row 1", mend)
    if joined := _joined_headings(info.merged, rows[0][0]):
        mend = "part them (unmerge), and write each heading into the cell above its column"
        refuse(file, f"joined cells among the headings: {joined}", "one heading over each column", mend)
    _mark_merged(info.merged, kinds, rows)
    width = max(len(said) for _, said in rows)
    header = [" ".join(h.split()) for h in rows[0][1]]
    while header and not header[-1]:
        header.pop()
    if len(header) > MOST_COLUMNS:
        refuse(file, f"{len(header)} headings", f"at most {MOST_COLUMNS}", "look whether the right sheet stands there")
    table = shaped([(n, said + [""] * (width - len(said))) for n, said in rows], semicolons=False, file=file)
    kept = [place for place, heading in enumerate(header) if heading]
    back = {place: k for k, place in enumerate(kept)}
    typed = {(n, back[p]): kind for (n, p), kind in kinds.items() if p in back}
    return Sheet(
        page.title,
        RawTable(file, table.header, table.rows, typed=typed, sheet=True),
        tuple(p + 1 for p in kept),
        rows[0][0],
    )


def _mark_formulas(formulas: Any, kinds: dict[tuple[int, int], str], rows: list[tuple[int, list[str]]]) -> None:
    """Mark the cells that hold a formula and no value: the file was saved by a program that works nothing out."""
    if formulas is None:
        return
    held = dict(rows)
    formulas.reset_dimensions()
    for number, cells in enumerate(formulas.iter_rows(), start=1):
        for place, cell in enumerate(cells):
            if cell.value is not None and cell.data_type == "f":
                said = held.get(number)
                if said is None:
                    said = held[number] = []
                    rows.append((number, said))
                said += [""] * (place + 1 - len(said))
                if not said[place] and (number, place) not in kinds:
                    said[place], kinds[number, place] = "a formula", FORMULA
    rows.sort(key=lambda row: row[0])


def _joined_headings(merged: Iterable[str], row: int) -> str:
    """The ranges of joined cells that lie over several columns of a row, in words; empty where there are none."""
    from openpyxl.utils.cell import range_boundaries

    found = []
    for area in merged:
        left, top, right, bottom = range_boundaries(area)
        if top <= row <= bottom and right > left:
            found.append(area)
    return ", ".join(found)


def _mark_merged(merged: Iterable[str], kinds: dict[tuple[int, int], str], rows: list[tuple[int, list[str]]]) -> None:
    """Mark the first cell of every range of joined cells that says something under the headings."""
    from openpyxl.utils.cell import range_boundaries

    held = dict(rows[1:])
    for area in merged:
        left, top, _, _ = range_boundaries(area)
        said = held.get(top, [])
        if left is not None and left <= len(said) and said[left - 1].strip():
            kinds[top, left - 1] = MERGED


def _check_others(
    others: list[str], sheets: Mapping[str, Any], file: str, book: FaultBook, notes: list[Finding]
) -> None:
    """A sheet that is no table: a fault where its name is nearly that of one that is missing, else a note."""
    missing = [name for name in SHEETS if name not in sheets]
    for title in others:
        near = near_miss(title, missing)
        if near.close:
            found = f"a sheet called {shown(title)}, which a workshop does not have"
            book.add(file, None, "", found, "the sheets " + ", ".join(SHEETS), f"{near.sentence} Give it that name")
        else:
            text = f'The sheet "{title}" is no table of a workshop and is not read.'
            notes.append(know("sheet.not_read", (file, title), text))


def _check_recipes(found: TableBook, book: FaultBook) -> None:
    """A line or a step that names no recipe is a fault of all recipes: nobody knows whose it is."""
    for name in (LINES_SHEET, STEPS_SHEET):
        sheet = found.sheets.get(name)
        if not isinstance(sheet, Sheet):
            continue
        at, allowed = TableBook.at_recipe(sheet), "the short name of the recipe, as the sheet recipes has it"
        numbers: list[int | None] = [n for n, cells in sheet.table.rows if at is not None and not cells[at].strip()]
        if at is None:
            numbers = [None]
        for number in numbers:
            where = f"{sheet.title}!{letters(sheet.columns[at])}{number}" if at is not None else f"sheet {sheet.title}"
            what = "no recipe's name in this row" if at is not None else f"no column {OF_RECIPE!r}"
            fault = Fault(RECIPES.file, None, "", what, allowed, "fill it in, in every row", where)
            book.extend((fault,))
