"""Cells of one sheet changed in the workbook's own file: every other byte of it stays, formulas, pictures and all."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from xml.sax.saxutils import escape

from maker_kit.errors import NoticeError
from maker_kit.workshop.xlsx.book import letters

_DATA = re.compile(r"<sheetData\s*/>|<sheetData\b[^>]*>(?P<rows>.*)</sheetData>", re.DOTALL)
_ROW = re.compile(r"<row\b[^>]*?(?:/>|>.*?</row>)", re.DOTALL)
_CELL = re.compile(r"<c\b[^>]*?(?:/>|>.*?</c>)", re.DOTALL)
_DIMENSION = re.compile(r"<dimension\b[^>]*/>")
_ILLEGAL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_ESCAPED = re.compile(r"_x(?=[0-9A-Fa-f]{4}_)")


@dataclass(frozen=True)
class CellValue:
    """What goes into one cell.

    Attributes
    ----------
    text : str
        Blank to empty the cell.
    number : bool
        Whether it is written as a number; else as text, which no program takes for a formula or a date.
    """

    text: str
    number: bool = False


Edits = Mapping[int, Mapping[int, CellValue]]
"""Row → column (A is 1) → what goes there."""


def with_edits(raw: bytes, parts: Mapping[str, Edits], *, styled: bool = True) -> bytes:
    """The workbook with cells changed.

    Parameters
    ----------
    raw : bytes
        The workbook's file.
    parts : Mapping of str to Mapping
        The sheet's part in the file, such as ``xl/worksheets/sheet1.xml``, to its changes.
    styled : bool
        Whether a new cell looks as the one above it in its column.

    Raises
    ------
    NoticeError
        If a sheet is written in a way that cannot be changed in place.
    """
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            content = old.read(part)
            if part.filename in parts:
                content = _patched(content.decode("utf-8"), parts[part.filename], styled=styled).encode("utf-8")
            new.writestr(part, content, zipfile.ZIP_DEFLATED)
    return made.getvalue()


def _patched(xml: str, edits: Edits, *, styled: bool) -> str:
    found = _DATA.search(xml)
    rows: dict[int, str] = {}
    whole = found is not None
    for row in _ROW.findall((found and found["rows"]) or ""):
        number = _attribute(row, "r")
        whole = whole and number.isdigit()
        rows[int(number or 0)] = row
    if not whole:
        raise NoticeError(
            "the workbook is written in a way that cannot be changed in place; nothing was saved. Open it in a "
            "spreadsheet program, save it there as .xlsx, and try again"
        )
    above = _styles_above(rows, edits) if styled else {}
    for number, cells in edits.items():
        rows[number] = _row(number, rows.get(number, ""), cells, above)
    body = "".join(rows[number] for number in sorted(rows))
    start, end = found.span()  # type: ignore[union-attr]
    return _DIMENSION.sub("", xml[:start]) + f"<sheetData>{body}</sheetData>" + xml[end:]


def _attribute(element: str, name: str) -> str:
    head = element[: element.index(">")]
    found = re.search(rf'\s{name}="([^"]*)"', head)
    return found[1] if found else ""


def _styles_above(rows: Mapping[int, str], edits: Edits) -> dict[int, str]:
    """The look of the last row that is there, by column; the headings' look is their own."""
    there = [number for number in rows if number not in edits and _CELL.search(rows[number])]
    if len(there) < 2:
        return {}
    return {_column(cell): _attribute(cell, "s") for cell in _CELL.findall(rows[max(there)])}


def _column(cell: str) -> int:
    number = 0
    for letter in re.match(r"[A-Z]*", _attribute(cell, "r"))[0]:  # type: ignore[index]
        number = 26 * number + ord(letter) - ord("A") + 1
    return number


def _row(number: int, row: str, cells: Mapping[int, CellValue], above: Mapping[int, str]) -> str:
    held = {_column(cell): cell for cell in _CELL.findall(row)}
    head = re.match(r"<row\b[^>]*?(?=/?>)", row)
    start = re.sub(r'\sspans="[^"]*"', "", head[0]) if head else f'<row r="{number}"'
    for column, value in cells.items():
        style = _attribute(held[column], "s") if column in held else above.get(column, "")
        held[column] = _cell(f"{letters(column)}{number}", value, style)
    return f"{start}>{''.join(held[column] for column in sorted(held))}</row>"


def _cell(name: str, value: CellValue, style: str) -> str:
    start = f'<c r="{name}"' + (f' s="{style}"' if style else "")
    if not value.text:
        return f"{start}/>"
    if value.number:
        return f"{start}><v>{value.text}</v></c>"
    text = escape(_ILLEGAL.sub(lambda m: f"_x{ord(m[0]):04X}_", _ESCAPED.sub("_x005F_x", value.text)))
    return f'{start} t="inlineStr"><is><t xml:space="preserve">{text}</t></is></c>'
