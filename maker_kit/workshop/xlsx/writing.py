"""A folder of tables written as one workbook: lists of allowed words, a note on every heading, text kept as text."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from maker_kit.names import name_key
from maker_kit.workshop.csv.cells import Marks, read_cell
from maker_kit.workshop.csv.columns import Column, bare
from maker_kit.workshop.csv.meanings import meaning_of
from maker_kit.workshop.csv.reading import read_table
from maker_kit.workshop.xlsx.book import letters
from maker_kit.workshop.xlsx.sheets import LINES_SHEET, OF_RECIPE, SHEETS, STEPS_SHEET, file_of

BLANK_ROWS = 2_000
"""Rows under a table that have their lists of words too; their formats are those of the whole columns."""
_WIDEST, _NARROWEST = 48, 9
_FORMATS = {"number": "General", "whole": "0", "money": "0.00", "date": "yyyy-mm-dd"}
_NAMES_FROM = {
    "ingredient": ("ingredients", "name"),
    "instead": ("ingredients", "name"),
    "made_from": ("ingredients", "name"),
    "mixture": ("ingredients", "name"),
    "supplier": ("suppliers", "supplier"),
    "recipe": ("recipes", "name"),
    "container": ("containers", "container"),
    "shop_product": ("shop_products", "product"),
}
"""Key of a column to the sheet and the heading that its names come from; other names are asked about, not refused."""
_LONGEST_LIST = 255
"""Most characters of a list of words in a sheet (ECMA-376, part 1, 18.3.1.32: formula1 of a literal list)."""


def workbook_of(folder: Path) -> bytes:
    """The tables of a workshop's folder as one workbook.

    Parameters
    ----------
    folder : Path
        With tables that can be read one by one.

    Returns
    -------
    bytes
        Sheets in the order of the tables, the lines and steps of all recipes in one each.

    Raises
    ------
    WorkshopError
        If a table cannot be read.
    """
    import openpyxl

    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, spec in SHEETS.items():
        page = book.create_sheet(name)
        rows = _rows(folder, name)
        columns = (
            spec.columns if name not in (LINES_SHEET, STEPS_SHEET) else (SHEETS[name].columns[0], *spec.columns[1:])
        )
        _fill(page, name, columns, rows)
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()


def _rows(folder: Path, name: str) -> list[dict[str, str]]:
    """The rows of a sheet, cells by their bare heading."""
    if name not in (LINES_SHEET, STEPS_SHEET):
        path = folder / SHEETS[name].file
        return _by_heading(path) if path.is_file() else []
    ends = file_of(name)
    found = []
    listed = [row.get("name", "") for row in _by_heading(folder / "recipes.csv")]
    for recipe in dict.fromkeys(filter(None, listed)):
        path = folder / f"recipes/{recipe}{ends.removeprefix('recipes/')}"
        if path.is_file():
            found += [{OF_RECIPE: recipe, **row} for row in _by_heading(path)]
    return found


def _by_heading(path: Path) -> list[dict[str, str]]:
    table = read_table(path)
    headings = [bare(h) for h in table.header]
    return [dict(zip(headings, cells, strict=True)) for _, cells in table.rows]


def _fill(page: Any, name: str, columns: Sequence[Column], rows: list[dict[str, str]]) -> None:
    from openpyxl.comments import Comment
    from openpyxl.styles import Alignment, Font, PatternFill

    for place, column in enumerate(columns, start=1):
        head = page.cell(1, place, column.heading)
        head.number_format = "@"
        head.font, head.alignment = Font(bold=True), Alignment(wrap_text=True, vertical="top")
        head.fill = PatternFill("solid", start_color="E8EEF2" if column.needed else "F5F5F5")
        note = Comment(meaning_of(name, column).in_words(), "maker-kit")
        note.width, note.height = 320, 160
        head.comment = note
        cells = [row.get(bare(column.heading), "") for row in rows]
        for number, text in enumerate(cells, start=2):
            if text:
                cell = page.cell(number, place)
                cell.number_format = number_format(column)
                put(cell, text, column)
        page.column_dimensions[letters(place)].number_format = number_format(column)
        width = max([len(column.heading) * 0.8, *(len(c) for c in cells[:200])], default=10) + 2
        page.column_dimensions[letters(place)].width = min(max(width, _NARROWEST), _WIDEST)
        _allow(page, place, column, name, len(rows) + BLANK_ROWS + 1)
    page.freeze_panes = "B2"


def number_format(column: Column) -> str:
    """How cells of a column are formatted; what is no number and no date is text, so that 1/2 stays 1/2."""
    return _FORMATS.get(column.kind, "@")


def put(cell: Any, text: str, column: Column) -> None:
    """Write a text into a cell, as a number or a date where the column holds such and the text is one; never as a
    formula.
    """
    value: object = text
    if column.kind in ("number", "whole", "money"):
        try:
            number = Decimal(text.strip())
            value = (
                (int(number) if number == number.to_integral_value() else float(number)) if number.is_finite() else text
            )
        except InvalidOperation:
            value = text
    elif column.kind == "date":
        read = _day(text, column)
        value = read or text
    cell.value = value
    if isinstance(value, str):
        cell.data_type = "s"


def _day(text: str, column: Column) -> date | None:
    from maker_kit.workshop.csv.cells import CellError

    try:
        value, _ = read_cell(text, column, Marks())
    except CellError:
        return None
    return value


def _allow(page: Any, place: int, column: Column, name: str, last: int) -> None:
    """The list of a column's words: no other where the table takes no other, else a question."""
    from openpyxl.worksheet.datavalidation import DataValidation

    words: Mapping[str, Sequence[str]] = {"one of": column.choices, "yes/no": ("yes", "no"), "word": column.choices}
    if column.kind in words:
        listed = '"' + ",".join(words[column.kind]) + '"'
        if len(listed) > _LONGEST_LIST + 2 or any("," in w for w in words[column.kind]):
            return
        style = "warning" if column.kind == "word" else "stop"
        rule = DataValidation(type="list", formula1=listed, allow_blank=True, errorStyle=style)
    elif column.key in _NAMES_FROM and _NAMES_FROM[column.key][0] != name and column.kind == "name":
        sheet, heading = _NAMES_FROM[column.key]
        at = next(k for k, c in enumerate(SHEETS[sheet].columns, 1) if name_key(c.heading) == name_key(heading))
        where = f"{sheet}!${letters(at)}$2:${letters(at)}$5001"
        rule = DataValidation(type="list", formula1=where, allow_blank=True, errorStyle="warning")
    elif column.kind == "date":
        return
    else:
        return
    rule.error, rule.errorTitle = column.allows()[:220], column.heading[:30]
    rule.showErrorMessage = True
    page.add_data_validation(rule)
    rule.add(f"{letters(place)}2:{letters(place)}{last}")
