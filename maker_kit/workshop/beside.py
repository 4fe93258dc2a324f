"""Files beside the tables that are no tables, and look as if they were meant for one: a second copy of it, or the same
in a spreadsheet program's own format.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from pathlib import Path

from maker_kit.errors import WorkshopError
from maker_kit.workshop.csv.faults import FaultBook
from maker_kit.workshop.csv.tables import WORKSHOP
from maker_kit.workshop.xlsx.sheets import BOOK, END

TABLE_ENDS = (".csv", ".txt")
SHEET_ENDS = (".xlsx", ".xls", ".xlsm", ".ods", ".numbers", ".tsv")
_ENDS = re.compile(r"(?i)(\.(csv|txt|xlsx|xls|xlsm|ods|numbers|tsv))+$")
_IN_FRONT = re.compile(r"(copy of|kopie von|copie de|copia de|copia di|new|old|my)[ _-]+")
_BEHIND = re.compile(
    r"[ _-]*(\([0-9]+\)|[ _-]([0-9]+|v[0-9]+|copy( ?\(?[0-9]+\)?)?|kopie|copie|copia|new|old|backup|final))$"
)


def copy_of(file: str, tables: Collection[str]) -> str:
    """The table that a file is a second copy of, or the same table in another format; empty where it is none.

    Parameters
    ----------
    file : str
        Its name: ``packs (1).csv``, ``Copy of packs.csv``, ``packs.csv.csv``, ``packs.xlsx``.
    tables : collection of str
        Names of the tables: ``packs.csv``.
    """
    if file in tables:
        return ""
    stems = {_ENDS.sub("", table).casefold(): table for table in tables}
    stem = _ENDS.sub("", file).casefold().strip()
    for shorter in _shorter(stem):
        if shorter in stems:
            return stems[shorter]
    return ""


def is_book(path: Path) -> bool:
    """Whether a path names a workbook that tables are read from."""
    return path.suffix.casefold() == END and not path.is_dir()


def tables_in(path: Path) -> Path:
    """Where the tables of a workshop stand: in the workbook or the folder that is named.

    A folder without workshop.csv, and with a workbook, means the workbook: ``workshop.xlsx``, or the only one that is
    there. Where workshop.csv stands, the files are read.

    Raises
    ------
    WorkshopError
        If several workbooks stand in a folder, and none is called ``workshop.xlsx``.
    """
    try:
        if not path.is_dir() or (path / WORKSHOP.file).exists():
            return path
        books = sorted(p for p in path.iterdir() if is_book(p) and not p.name.startswith((".", "~$")))
    except (OSError, ValueError):
        return path
    named = [p for p in books if p.name.casefold() == BOOK]
    if len(books) > 1 and not named:
        book = FaultBook()
        found = f"{len(books)} workbooks ({', '.join(p.name for p in books[:4])}{', …' * (len(books) > 4)})"
        mend = f"name the one that is meant (--workshop {path / books[0].name}), or call it {BOOK}"
        book.add(str(path), None, "", found, f"the tables as files, or one workbook, or one called {BOOK}", mend)
        raise WorkshopError(book.faults)
    return (named or books or [path])[0]


def is_sheet(file: str) -> bool:
    """Whether a file is in a spreadsheet program's own format, which is never read."""
    return file.casefold().endswith(SHEET_ENDS)


def is_table(file: str) -> bool:
    """Whether a file could be a table by its ending."""
    return file.casefold().endswith(TABLE_ENDS)


def not_read(file: str, table: str) -> str:
    """That a spreadsheet beside a table is not read, and what to do."""
    if table == WORKSHOP.file and file.casefold() == BOOK:
        return (
            f'"{file}" stands beside the tables and is not read, for {table} and the other files are: name the '
            "workbook itself to have it read, or move the files into another folder"
        )
    return (
        f'"{file}" stands beside {table} and is not read: if you changed it, save it as CSV over {table}; '
        "otherwise leave it"
    )


def _shorter(stem: str) -> Iterator[str]:
    """The name, and what is left of it without what a copy puts in front or behind, step by step."""
    while True:
        yield stem
        less = _BEHIND.sub("", _IN_FRONT.sub("", stem, count=1) if _IN_FRONT.match(stem) else stem).strip()
        if less in ("", stem):
            return
        stem = less
