"""Reading a table from bytes: rows with the numbers a spreadsheet shows, or faults that say what is the matter with the
file.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from maker_kit.errors import WorkshopError
from maker_kit.guarded import unguard
from maker_kit.workshop.csv.columns import bare
from maker_kit.workshop.csv.faults import FaultBook, shown
from maker_kit.workshop.csv.writing import BOM

MOST_BYTES = 20_000_000
"""Largest table that is read [bytes]."""
MOST_ROWS = 50_000
"""Most rows of a table: more than twice the largest workshop that was tried (20,000 packs)."""
MOST_COLUMNS = 100
"""Most columns of a table."""
MOST_CELL = 10_000
"""Longest cell [characters]."""

MOST_KEPT, LARGEST_KEPT = 128, 50_000
"""So many tables are kept as they were read, of at most so many bytes."""

_SAVE = "save it as CSV, character set UTF-8, cells separated by commas or semicolons"
SEPARATOR_ROW = re.compile(r'"?sep=(.)"?\r?\n')
"""What some programs put in front to name their separator; they do not count it as a row."""
_NEVER_CLOSED = "look for a quotation mark that is never closed"
_WRONG_FILE = "look whether the right file stands there"
_CUT = "the file may be cut off: take it again from where it came, or complete the row"


@dataclass(frozen=True)
class RawTable:
    """One table as it stands in its file; nothing is interpreted, and no cell is ever run.

    Attributes
    ----------
    file : str
        Its name, relative to the workshop's folder.
    header : tuple of str
        Headings, without the blank ones at the end.
    rows : tuple of (int, tuple of str)
        Row number as a spreadsheet shows it (the header is row 1, blank rows count) and as many cells as there are
        headings; blank rows are left out.
    semicolons : bool
        Whether cells are separated by semicolons, which is where decimal commas may stand.
    typed : Mapping of (int, int) to str
        Row number and place among the headings to what a spreadsheet says the cell is (`maker_kit.workshop.csv.typed`);
        empty for a file of text.
    sheet : bool
        Whether it is a sheet of a workbook.
    """

    file: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    semicolons: bool = False
    typed: Mapping[tuple[int, int], str] = field(default_factory=dict, hash=False)
    sheet: bool = False


def read_table(path: str | Path, file: str = "") -> RawTable:
    """Read one table: UTF-8 with or without byte-order mark, commas or semicolons, quoted cells with line breaks.

    Parameters
    ----------
    path : str or Path
    file : str, optional
        How to name it in faults; the file's own name by default.

    Raises
    ------
    WorkshopError
        With every fault of the file: missing, empty, too large, not UTF-8, cut off, rows of the wrong length, headings
        twice.
    """
    path = Path(path)
    file = file or path.name
    try:
        if not path.exists():
            found = "a link that leads nowhere" if path.is_symlink() else "no such file"
            _refuse(file, found, "a table of that name", "put the file back, or give it its name again")
        if not path.is_file():
            _refuse(file, "a folder or a device", "a table: a plain file", "move it away and put the table there")
        size = path.stat().st_size
        if size <= MOST_BYTES:
            with path.open("rb") as opened:
                raw = opened.read(MOST_BYTES + 1)
            size = max(size, len(raw))
    except (OSError, ValueError) as error:
        _refuse(
            file,
            f"a file that cannot be read ({getattr(error, 'strerror', None) or error})",
            "a readable file",
            "look at its permissions, or close the program that holds it",
        )
    if size > MOST_BYTES:
        _refuse(
            file,
            f"a file of {size / 1e6:.1f} MB",
            f"a table of at most {MOST_BYTES / 1e6:.0f} MB",
            f"{_WRONG_FILE}; a workshop's tables are small",
        )
    return table_from_bytes(raw, file)


def table_from_bytes(raw: bytes, file: str) -> RawTable:
    """Read one table from its bytes; see `read_table`. One of the usual size whose bytes are those of before is not
    read again.
    """
    return (_kept if len(raw) <= LARGEST_KEPT else _read)(raw, file)


def _read(raw: bytes, file: str) -> RawTable:
    text, semicolons = _decoded(raw, file), False
    named = SEPARATOR_ROW.match(text)
    if named:
        text, semicolons = text[named.end() :], named[1] == ";"
    lines = [line for line in text.splitlines() if line.strip()][:2]
    first = next((line for line in lines if re.search("[;,\t]", line)), lines[0] if lines else "")
    unquoted = re.sub(r'"[^"]*"', "", first)
    if not named:
        semicolons = unquoted.count(";") > unquoted.count(",")
    if "\t" in unquoted and not re.search("[;,]", unquoted):
        _refuse(file, "cells separated by tabs", "cells separated by commas or semicolons", _SAVE)
    rows = _rows(text, ";" if semicolons else ",", file)
    if not rows:
        _refuse(
            file,
            "an empty file",
            "a table with its headings in row 1",
            "put the headings and rows back; a table without rows holds only its headings",
        )
    return shaped(rows, semicolons=semicolons, file=file)


_kept = lru_cache(maxsize=MOST_KEPT)(_read)


def _refuse(file: str, found: str, allowed: str, mend: str, row: int | None = None) -> None:
    book = FaultBook()
    book.add(file, row, "", found, allowed, mend)
    raise WorkshopError(book.faults)


def _decoded(raw: bytes, file: str) -> str:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        _refuse(file, "text saved as UTF-16", "text saved as UTF-8", _SAVE)
    if raw.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        _refuse(
            file,
            "a spreadsheet program's own file, renamed",
            "a table as plain text (CSV)",
            f"open it in the spreadsheet program and {_SAVE}",
        )
    raw = raw.removeprefix(BOM)
    nul = raw.find(b"\0")
    if nul >= 0:
        row = _row_at(raw[:nul].decode("utf-8", errors="replace"))
        _refuse(
            file,
            f"a NUL byte (byte {nul + 1})",
            "plain text",
            f"the file is damaged: take it again from where it came, or {_SAVE}",
            row,
        )
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        bad = raw[error.start]
        letter = bytes([bad]).decode("cp1252", errors="replace")
        row = _row_at(raw[: error.start].decode("utf-8"))
        _refuse(
            file,
            f'the byte 0x{bad:02X} ("{letter}" in Windows-1252 or Latin-1; byte {error.start + 1} of the file)',
            "text saved as UTF-8",
            f'{_SAVE} ("CSV UTF-8" in some programs), and look at the letter in that row',
            row,
        )
    return ""


def _row_at(before: str) -> int:
    """The row that a spreadsheet shows for what comes right after this text."""
    try:
        return max(1, sum(1 for _ in csv.reader(io.StringIO(before + "x", newline=""))))
    except csv.Error:
        return before.count("\n") + 1


def _rows(text: str, delimiter: str, file: str) -> list[tuple[int, list[str]]]:
    """The rows that are not blank, with the number that a spreadsheet shows."""
    rows: list[tuple[int, list[str]]] = []
    number = 0
    lines = _Lines(text)
    try:
        for number, cells in enumerate(csv.reader(lines, delimiter=delimiter, strict=True), start=1):
            longest = max(cells, key=len, default="")
            if len(longest) > MOST_CELL:
                mend = f"shorten the text, or {_NEVER_CLOSED}"
                _refuse(file, shown(longest), f"cells of at most {MOST_CELL} characters", mend, number)
            if any(cell.strip() for cell in cells):
                rows.append((number, cells))
            if len(rows) > MOST_ROWS + 1:
                _refuse(file, f"more than {MOST_ROWS} rows", f"at most {MOST_ROWS} rows", _WRONG_FILE, number)
            lines.held = 0
    except csv.Error:
        if lines.ended:
            found, allowed, mend = (
                "a quotation mark that is never closed",
                'quotation marks in pairs around a cell, and two ("") for one inside it',
                _CUT,
            )
        elif lines.held > csv.field_size_limit():
            found, allowed, mend = (
                "a cell of more than 100 000 characters",
                f"cells of at most {MOST_CELL} characters",
                _NEVER_CLOSED,
            )
        else:
            found, allowed, mend = (
                "text right after a closing quotation mark",
                'quotation marks around a whole cell, and two ("") for one inside it',
                "close the quotation mark at the end of the cell",
            )
        _refuse(file, found, allowed, mend, number + 1)
    return rows


class _Lines:
    """The lines of a text for a reader that asks for one after another; what it asked for tells why it failed.

    `ended` says whether it asked for more than there is, and `held` how many characters it took for the row at hand.
    """

    def __init__(self, text: str) -> None:
        self.source, self.ended, self.held = io.StringIO(text, newline=""), False, 0

    def __iter__(self) -> _Lines:
        return self

    def __next__(self) -> str:
        line = self.source.readline()
        self.ended, self.held = not line, self.held + len(line)
        if self.ended:
            raise StopIteration
        return line


def shaped(rows: list[tuple[int, list[str]]], *, semicolons: bool, file: str) -> RawTable:
    """The table with every row as long as the header. Raises WorkshopError with the faults of its shape."""
    book = FaultBook()
    head_row, first = rows[0]
    header = [" ".join(unguard(cell).split()) for cell in first]
    while header and not header[-1]:
        header.pop()
    if len(header) == 1 and len(rows) > 1 and sum(bool(cell.strip()) for cell in rows[1][1]) > 1:
        mend = f"delete this row: the headings stand in row {rows[1][0]}, it seems"
        _refuse(file, f"{shown(header[0])}, alone in its row", "the headings in the first row", mend, head_row)
    if len(header) > MOST_COLUMNS:
        _refuse(file, f"{len(header)} headings", f"at most {MOST_COLUMNS}", _WRONG_FILE, head_row)
    width, kept = len(header), [i for i, h in enumerate(header) if h]
    known = [bare(header[i]) for i in kept]
    for place, i in enumerate(kept):
        if known[place] in known[:place]:
            mend = "delete one of the columns, or give it its own heading"
            book.add(file, head_row, header[i], "this heading twice", "each heading once", mend)
    shaped: list[tuple[int, tuple[str, ...]]] = []
    mark, allowed = (
        "semicolon" if semicolons else "comma",
        f"{width} {'cell' if width == 1 else 'cells'}, one under each heading",
    )
    for number, cells in rows[1:]:
        extra = [cell for i, cell in enumerate(cells) if cell.strip() and i not in kept]
        if len(cells) < width:
            book.add(file, number, "", f"{len(cells)} {'cell' if len(cells) == 1 else 'cells'}", allowed, _CUT)
        elif extra:
            found = f"{len(cells)} cells, {shown(extra[0])} under no heading"
            mend = f"put a text that holds a {mark} in quotation marks, or give the column its heading"
            book.add(file, number, "", found, allowed, mend)
        shaped.append((number, tuple(unguard(cells[i]) if i < len(cells) else "" for i in kept)))
    if book.faults:
        raise WorkshopError(book.faults)
    return RawTable(file, tuple(header[i] for i in kept), tuple(shaped), semicolons)
