"""The tables of the bench log, and how SQLite is told to keep what was written.

Every table is append-only: triggers forbid a change, a removal and a replacement. A correction is a row of its own that
names the row it corrects and why; the view ``now_TABLE`` shows what holds now. Each row carries a hash of itself and
of the row before it, so that a flipped bit is found (an integrity check of SQLite finds one in four).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from csv import DictReader
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from pathlib import Path

APPLICATION_ID = 0x4D4B424C
"""Tells a bench log from a file of another program (bytes 68–71 of the file)."""
TEXT, WHOLE, REAL, YES = "TEXT", "INTEGER", "REAL", "YES"


@dataclass(frozen=True)
class Column:
    """One column of a table of the log.

    Attributes
    ----------
    name : str
        With its unit where it has one: ``_mg`` thousandths of a gram, ``_c`` degrees Celsius, ``_on`` a date.
    kind : {'TEXT', 'INTEGER', 'REAL', 'YES'}
        ``YES`` holds 1, 0 or nothing where it is not known.
    needed : bool
        Whether it must hold something.
    table : str
        The table whose row, by its first id, is named; empty where none is.
    words : tuple of str
        The only words that may stand here; empty where any may.
    least : float or None
        The least number.
    since : int
        The version of the log that brought it. A row of a log from before holds nothing there, and its mark is the one
        that it was written with.
    """

    name: str
    kind: str = TEXT
    needed: bool = False
    table: str = ""
    words: tuple[str, ...] = ()
    least: float | None = None
    since: int = 1


def _tables() -> dict[str, tuple[Column, ...]]:
    with Path(__file__).with_name("columns.csv").open(encoding="utf-8", newline="") as file:
        rows = groupby(DictReader(file), itemgetter("table"))
        return {table: tuple(map(_read, columns)) for table, columns in rows}


def _read(row: Mapping[str, str]) -> Column:
    words, least = tuple(filter(None, row["words"].split("; "))), float(row["least"]) if row["least"] else None
    needed, since = row["needed"] == "yes", int(row["since"] or 1)
    return Column(row["name"], row["kind"], needed, row["names_row_of"], words, least, since)


TABLES = _tables()
"""What is kept: for each table its own columns, in order, as ``columns.csv`` beside this file has them. ``scale`` and
``instrument`` are the tool's own number.
"""
NEW_TABLES = {"tick": 2}
"""Tables that an earlier log has not, and the version that brought them."""
NAMES = {"lot": "code", "batch": "number", "unit": "code"}
"""The column by which people call a row; no two that hold may have the same."""
KEPT = ("seq", "id", "root", "corrects", "withdrawn", "why", "entered_at", "chain")
"""Columns of every table: its place, its own id, the id it began with, the row it corrects, whether it takes that back,
why, when it was written, and the hash over it and the row before.
"""
INDEXES = {
    "lot": ("code", "item"),
    "batch": ("number", "recipe"),
    "weighing": ("lot, batch", "batch, lot"),
    "tick": ("batch, part",),
    "deed": ("batch, step",),
    "reading": ("batch, kind, read_at",),
    "deviation": ("batch",),
    "fill": ("batch",),
    "unit": ("batch", "code"),
    "gone": ("unit, place", "place, unit"),
    "complaint": ("batch", "unit"),
}
"""Both ways: from a lot to its batches and back, from a unit to its place and back."""
TRACED: tuple[str, ...] = (
    "DROP INDEX unit_by_0",
    "CREATE INDEX unit_by_2 ON unit(batch, code, root)",
    "DROP INDEX gone_by_0",
    "CREATE INDEX gone_by_2 ON gone(unit, place, corrects, root)",
    "DROP INDEX gone_by_1",
    "CREATE INDEX gone_by_3 ON gone(place COLLATE NOCASE, unit)",
)
"""Since version 2: where a unit is now, and what is in a place however it is written, from the index alone."""


def _column(column: Column) -> str:
    kind = WHOLE if column.kind == YES else column.kind
    said = [f'"{column.name}" {kind}']
    if column.needed:
        said.append("NOT NULL")
    if column.name in NAMES.values():
        said.append("COLLATE NOCASE")
    checks = []
    if column.kind == TEXT and column.needed:
        checks.append(f'length(trim("{column.name}")) > 0')
    if column.kind == WHOLE:
        checks.append(f"typeof(\"{column.name}\") IN ('integer', 'null')")
    if column.kind == REAL:
        checks.append(f"typeof(\"{column.name}\") IN ('real', 'integer', 'null')")
    if column.kind == YES:
        checks.append(f'"{column.name}" IN (0, 1)')
    if column.words:
        checks.append(f'"{column.name}" IN ({", ".join(repr(w) for w in column.words)})')
    if column.least is not None:
        checks.append(f'"{column.name}" >= {column.least:g}')
    if checks:
        said.append(f"CHECK ({' AND '.join(checks)})")
    if column.table:
        said.append(f"REFERENCES {column.table}(id)")
    return " ".join(said)


def view_of(table: str, columns: Iterable[Column], there: int, kind: str = "VIEW") -> str:
    """The view of what holds now; of columns that a log of version `there` has not, nothing."""
    listed = ", ".join(f't."{c.name}"' if c.since <= there else f'NULL AS "{c.name}"' for c in columns)
    return f"""CREATE {kind} now_{table} AS SELECT (SELECT o.seq FROM {table} o WHERE o.id = t.root) AS began,
 t.root AS id, t.id AS row, t.entered_at, {listed} FROM {table} t
 WHERE t.withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM {table} later WHERE later.corrects = t.id)"""


def _statements(table: str, columns: tuple[Column, ...]) -> list[str]:
    own = ",\n  ".join(_column(c) for c in columns)
    made = [
        f"""CREATE TABLE {table} (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  root TEXT NOT NULL,
  corrects TEXT REFERENCES {table}(id),
  withdrawn INTEGER NOT NULL DEFAULT 0 CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL DEFAULT '',
  entered_at TEXT NOT NULL,
  chain TEXT NOT NULL,
  {own},
  CHECK ((corrects IS NULL AND root = id AND withdrawn = 0 AND why = '')
      OR (corrects IS NOT NULL AND root <> id AND length(trim(why)) > 0))
)""",
        f"CREATE INDEX {table}_root ON {table}(root)",
        f"CREATE UNIQUE INDEX {table}_corrects ON {table}(corrects) WHERE corrects IS NOT NULL",
        view_of(table, columns, max(c.since for c in columns)),
        f"""CREATE TRIGGER {table}_no_replacing BEFORE INSERT ON {table}
 WHEN EXISTS (SELECT 1 FROM {table} WHERE id = NEW.id OR seq = NEW.seq)
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never replaced'); END""",
        f"""CREATE TRIGGER {table}_one_correction BEFORE INSERT ON {table} WHEN NEW.corrects IS NOT NULL
 AND NOT EXISTS (SELECT 1 FROM {table} WHERE id = NEW.corrects AND root = NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: a correction names the row it corrects'); END""",
    ]
    for act in ("UPDATE", "DELETE"):
        made.append(
            f"""CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table}
 BEGIN SELECT RAISE(ABORT, 'kept: a row is never changed or removed'); END"""
        )
    if name := NAMES.get(table):
        made.append(
            f"""CREATE TRIGGER {table}_one_name BEFORE INSERT ON {table} WHEN NEW.withdrawn = 0
 AND EXISTS (SELECT 1 FROM now_{table} WHERE "{name}" = NEW."{name}" AND id <> NEW.root)
 BEGIN SELECT RAISE(ABORT, 'kept: two have one name'); END"""
        )
    for number, on in enumerate(INDEXES[table]):
        made.append(f"CREATE INDEX {table}_by_{number} ON {table}({on})")
    return made


def _first() -> Iterator[str]:
    """The log as it was begun with."""
    for table, columns in TABLES.items():
        if table not in NEW_TABLES:
            yield from _statements(table, tuple(c for c in columns if c.since == 1))


def _later(version: int) -> Iterator[str]:
    """What a version brings: its columns, empty in the rows that are there, and its tables."""
    for table, columns in TABLES.items():
        if NEW_TABLES.get(table) == version:
            yield from _statements(table, columns)
        elif added := [c for c in columns if c.since == version]:
            yield from (f"ALTER TABLE {table} ADD COLUMN {_column(c)}" for c in added)
            yield f"DROP VIEW now_{table}"
            yield view_of(table, [c for c in columns if c.since <= version], version)


MIGRATIONS: tuple[tuple[str, ...], ...] = (tuple(_first()), (*_later(2), *TRACED))
"""Step k brings a log of version k to version k + 1 (``user_version`` of the file)."""


def as_read(version: int) -> Iterator[str]:
    """What lets a log of an earlier version be read where it may not be written: what it has not is empty. Nothing of
    it reaches the file.
    """
    for table, columns in TABLES.items():
        if NEW_TABLES.get(table, 1) > version:
            names = ", ".join(f'"{n}"' for n in (*KEPT, *(c.name for c in columns)))
            yield f"CREATE TEMP TABLE {table} ({names})"
        if max(NEW_TABLES.get(table, 1), *(c.since for c in columns)) > version:
            yield view_of(table, columns, version, "TEMP VIEW")
