"""Writing a table so that every spreadsheet program reads it right and none of them runs a cell."""

from __future__ import annotations

import contextlib
import os
import re
import tempfile
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path

from maker_kit.errors import NoticeError
from maker_kit.guarded import guard
from maker_kit.scratch import clear_dead, prefix

PART = "part"
"""How a file that is not yet whole is called."""
BOM = b"\xef\xbb\xbf"
"""The byte-order mark of UTF-8."""


def write_table(path: str | Path, rows: Iterable[Sequence[object]]) -> Path:
    """Write a table as comma-separated UTF-8 text, whole or not at all.

    A byte-order mark goes in front where a cell holds more than ASCII, so that every spreadsheet program reads the
    letters right. Text is guarded (`guard`); numbers are written with a decimal point.

    Parameters
    ----------
    path : str or Path
        File to write; one of that name is replaced.
    rows : iterable of sequences
        The headings first. Cells are text, numbers, dates, True and False (``yes``, ``no``) or None (blank).

    Returns
    -------
    Path

    Raises
    ------
    NoticeError
        If a cell cannot stand in a table (a NUL character, half of a letter, a number that is none), or the file cannot
        be written.
    """
    path = Path(path)
    return write_bytes(table_bytes(path, rows), path)


def table_bytes(path: str | Path, rows: Iterable[Sequence[object]]) -> bytes:
    """What `write_table` writes; `path` names the file in a NoticeError."""
    path = Path(path)
    return encoded("".join(row_text(row, path) + "\r\n" for row in rows), path)


def row_text(row: Sequence[object], path: Path, delimiter: str = ",") -> str:
    """One row as it stands in a file, without its line end; `path` names the file in a NoticeError for a cell that
    cannot stand in a table.
    """
    return delimiter.join(_quoted(guard(cell_text(cell, f"{path.name} cannot be written"))) for cell in row)


def encoded(text: str, path: Path, *, bom: bool = False) -> bytes:
    """A text as UTF-8, with a byte-order mark where it holds more than ASCII, or anyway. Raises NoticeError for half of
    a letter.
    """
    try:
        return text.encode("utf-8-sig" if bom or not text.isascii() else "utf-8")
    except UnicodeEncodeError as error:
        half = f"half of a letter ({text[error.start]!r})"
        raise NoticeError(f"{path.name} cannot be written: a cell holds {half}; type that cell again") from error


def write_bytes(raw: bytes, path: Path) -> Path:
    """Write a file, whole or not at all: a file of another name beside it takes its place. Raises NoticeError if it
    cannot be written.
    """
    made = ""
    try:
        target = path.resolve() if path.is_symlink() else path  # a link stays one, and what it leads to is written
        clear_dead(PART, target.parent)
        handle, made = tempfile.mkstemp(prefix=f".{prefix(PART)}", dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
        Path(made).chmod(0o644)
        Path(made).replace(target)
    except (OSError, ValueError) as error:
        if made:
            with contextlib.suppress(OSError):
                Path(made).unlink()
        raise NoticeError(
            f"{path} cannot be written: {getattr(error, 'strerror', None) or error}; "
            "look whether the folder is there, may be written to, and has room"
        ) from error
    return path


def cell_text(cell: object, where: str) -> str:
    """A cell as text that `read_cell` reads again: yes and no, numbers with a decimal point, days, names separated by
    semicolons; blank for None.

    Raises
    ------
    NoticeError
        If it cannot stand in a table: a NUL character, or a number that is none; `where` begins the sentence.
    """
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, int | float | Decimal) and not Decimal(str(cell)).is_finite():
        raise NoticeError(f"{where}: a cell holds {cell}, which is no number; leave it blank")
    if isinstance(cell, date):
        return cell.isoformat()
    text = "; ".join(map(str, cell)) if isinstance(cell, list | tuple | set | frozenset) else str(cell)
    if "\0" in text:
        raise NoticeError(f"{where}: a cell holds a NUL character; type that cell again")
    return text


def _quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"' if re.search(r'[",;\t\r\n]|^\s|\s$', text) else text
