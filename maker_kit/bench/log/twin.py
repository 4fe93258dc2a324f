"""The readable twin of the bench log: a CSV table beside it for each of its tables, appended to as the log grows."""

from __future__ import annotations

import contextlib
import csv
import io
import os
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from maker_kit.bench.log.schema import KEPT, REAL, TABLES, WHOLE, YES
from maker_kit.guarded import guard, unguard

FOLDER = "bench"
_TAIL = 1 << 16


def twin_folder(path: Path) -> Path:
    """The folder of the tables beside a log."""
    return path.parent / FOLDER


def heading(table: str) -> list[str]:
    """The columns of a table's twin."""
    return [*KEPT, *(c.name for c in TABLES[table])]


def catch_up(db: sqlite3.Connection, path: Path, tables: Sequence[str]) -> None:
    """Append to the twins what they lack; one that ends in half a row, or holds rows that the log has not, is written
    anew.

    Parameters
    ----------
    db : sqlite3.Connection
    path : pathlib.Path
        The log.
    tables : sequence of str

    Raises
    ------
    OSError
        If a twin cannot be written, for instance while a spreadsheet program holds it.
    sqlite3.DatabaseError
        If the log cannot be read.
    """
    twin_folder(path).mkdir(exist_ok=True)
    db.execute("BEGIN IMMEDIATE")  # two that append at once would mix their rows; nothing is written to the log
    try:
        for table in tables:
            _catch_up(db, twin_folder(path) / f"{table}.csv", table)
    finally:
        with contextlib.suppress(sqlite3.DatabaseError):
            db.execute("COMMIT")


def _catch_up(db: sqlite3.Connection, file: Path, table: str) -> None:
    last = db.execute(f"SELECT coalesce(max(seq), 0) AS n FROM {table}").fetchone()[0]
    held = _held(file, table)
    if held == last:
        return
    names = ", ".join(f'"{n}"' for n in heading(table))
    if held is None or held > last:
        rows = db.execute(f"SELECT {names} FROM {table} ORDER BY seq")
        fresh = file.with_name(f".{file.name}.new")
        with fresh.open("w", encoding="utf-8", newline="") as out:
            out.write(_lines([heading(table)]))
            for row in rows:
                out.write(_lines([row]))
        fresh.replace(file)
        return
    rows = db.execute(f"SELECT {names} FROM {table} WHERE seq > ? ORDER BY seq", (held,))
    with file.open("a", encoding="utf-8", newline="") as out:
        out.write(_lines(rows))


def _held(file: Path, table: str) -> int | None:
    """The place of the last row of a twin; None where it must be written anew."""
    if not file.is_file():
        return None
    with file.open("rb") as given:
        if given.readline() != _lines([heading(table)]).encode():
            return None
        given.seek(0, os.SEEK_END)
        size = given.tell()
        given.seek(max(0, size - _TAIL))
        tail = given.read()
    if not tail.endswith(b"\r\n"):
        return None
    if size == len(_lines([heading(table)]).encode()):
        return 0
    # a row may run over several lines where a note does; its first cell is a number and its second an id
    for line in reversed(tail[:-2].split(b"\r\n")):
        cells = line.split(b",", 2)
        if len(cells) == 3 and cells[0].isdigit() and len(cells[1]) == 16:
            return int(cells[0])
    return None


def read_twin(file: Path, table: str) -> Iterator[dict[str, Any]]:
    """The rows of a twin, as the log would hold them; a row that is cut or cannot be read is left out."""
    kinds = {c.name: c.kind for c in TABLES[table]} | {"seq": WHOLE, "withdrawn": WHOLE}
    with file.open(encoding="utf-8-sig", errors="replace", newline="") as given:
        rows = csv.reader(given)
        names = [unguard(n) for n in next(rows, [])]
        for cells in rows:
            if len(cells) != len(names):
                continue
            try:
                row = {n: _value(kinds.get(n, "TEXT"), unguard(c)) for n, c in zip(names, cells, strict=True)}
            except ValueError:
                continue
            yield {**row, "why": row.get("why") or ""}


def _value(kind: str, text: str) -> Any:
    if text == "":
        return None
    return int(text) if kind in (WHOLE, YES) else float(text) if kind == REAL else text


def _lines(rows: Any) -> str:
    out = io.StringIO()
    written = csv.writer(out, lineterminator="\r\n")
    for row in rows:
        written.writerow(["" if c is None else guard(c) if isinstance(c, str) else c for c in row])
    return out.getvalue()
