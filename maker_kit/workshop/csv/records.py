"""Tables read by their columns: one record a row, every wrong cell a fault, duplicate rows a fault."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, fields
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

from maker_kit.errors import WorkshopError
from maker_kit.names import near_miss
from maker_kit.workshop.csv.cells import is_invented
from maker_kit.workshop.csv.columns import TableSpec
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.rows import told_by
from maker_kit.workshop.csv.sources import TableFolder, Tables

T = TypeVar("T")
BLANK = (None, "", ())
"""What a cell says that says nothing."""


@dataclass(frozen=True)
class Record:
    """One row of a table, cell by cell.

    Attributes
    ----------
    file : str
    row : int
        As a spreadsheet shows it.
    spec : TableSpec
    values : Mapping of str to object
        Key to what the cell says; a cell that could not be read is not in it.
    texts : Mapping of str to str
        Key to the cell as it stands.
    sure : frozenset of str
        Keys of the cells that were confirmed with ``sure``.
    book : FaultBook
        Where its faults go.
    """

    file: str
    row: int
    spec: TableSpec
    values: Mapping[str, Any]
    texts: Mapping[str, str]
    sure: frozenset[str]
    book: FaultBook = field(repr=False, compare=False)

    def __getitem__(self, key: str) -> Any:
        return self.values.get(key)

    @property
    def whole(self) -> bool:
        """Whether every cell could be read."""
        return len(self.values) == len(self.spec.columns)

    @property
    def invented(self) -> bool:
        """Whether a price in it is marked as invented."""
        return any(is_invented(self.texts.get(c.key, ""), c) for c in self.spec.columns)

    def make(self, kind: type[T], **more: Any) -> T:
        """The thing that a whole row tells of: cells fill the fields of their key, numbers as floats; `more` the
        others.
        """
        cells = {name: self.values[name] for name in _fields_of(kind) if name in self.values}
        return kind(**{k: float(v) if isinstance(v, Decimal) else v for k, v in cells.items()} | more)

    def place(self, key: str) -> tuple[str, int, str]:
        """File, row and column of a cell, for a fault."""
        return self.file, self.row, self.spec.heading(key)

    def refuse(
        self, key: str, allowed: str, mend: str, found: str = "", *, meant: str = "", known: Collection[str] = ()
    ) -> None:
        """Write down a fault of one cell, and what was meant where one text of some is near."""
        self.book.add(*self.place(key), found or shown(self.texts.get(key, "")), allowed, mend, meant, known)

    def named(self, key: str, names: Names) -> str:
        """The name in a cell as its own table writes it; empty for a blank, and where it is not known, which is a
        fault.
        """
        name = self[key]
        found = names.find(name) if name else ""
        if found is None:
            known = (names.known or {}).values()
            near = near_miss(name, known)
            mend = f"{near.sentence} Correct the name, or add a row to {names.file}"
            self.refuse(
                key, f"{names.what} that {names.file} lists", mend, shown(name), meant="".join(near.close), known=known
            )
        return found or ""

    def check_ends(self, low: str, high: str, *, both: tuple[str, str] | None = None) -> None:
        """A fault where the low end stands above the high one, and, where `both` are wanted, where only one is given.

        `both` says what to do about a blank low end, and about a blank high one.
        """
        if not {low, high} <= self.values.keys():
            return
        ends, title = (self[low], self[high]), self.spec.heading(high)
        if None not in ends:
            if ends[0] > ends[1]:
                allowed = f"at most {ends[1]:f}, which stands under {title!r}"
                self.refuse(low, allowed, "exchange the two, or correct one")
        elif both and ends != (None, None):
            at = ends.index(None)
            allowed = f"{self.spec.heading(low)!r} and {title!r} together, or neither where it is not known"
            self.refuse((low, high)[at], allowed, both[at])


@lru_cache(maxsize=64)
def _fields_of(kind: type) -> tuple[str, ...]:
    return tuple(f.name for f in fields(kind))


@dataclass(frozen=True)
class Records:
    """The rows of one table.

    Attributes
    ----------
    file : str
    rows : tuple of Record
    book : FaultBook
        Where faults go.
    readable : bool
        Whether the file could be read and has the rows it needs; where not, nothing can be said about names that stand
        in it.
    keys : frozenset of str
        Keys of the columns that are there.
    """

    file: str
    rows: tuple[Record, ...]
    book: FaultBook = field(repr=False, compare=False)
    readable: bool = True
    keys: frozenset[str] = frozenset()

    def __iter__(self) -> Iterator[Record]:
        return iter(self.rows)

    def column(self, key: str) -> list[str] | None:
        """What stands in one column, whatever else is wrong with the rows; None where the table could not be read."""
        return [r[key] for r in self.rows if r[key]] if self.readable and key in self.keys else None

    def names(self, what: str, key: str) -> Names:
        """The names that one column gives to a kind of thing, such as ``an ingredient``."""
        return Names.of(what, self.file, self.column(key))

    def made(self, kind: type[T]) -> tuple[T, ...]:
        """What every whole row tells of; see `Record.make`."""
        return tuple(r.make(kind) for r in self if r.whole)


def less(one: Any, other: Any) -> bool:
    """Whether both are known and the first is less."""
    return one is not None and other is not None and one < other


def read_records(
    source: Path | Tables, spec: TableSpec, book: FaultBook, file: str = "", *, rows_needed: bool | None = None
) -> Records:
    """Read a table by its columns and write its faults down.

    Parameters
    ----------
    source : Path or Tables
        The folder that it stands in, or whatever holds the tables.
    spec : TableSpec
    book : FaultBook
        Where faults go.
    file : str, optional
        Its file's name, relative to the workshop's folder; the spec's own by default.
    rows_needed : bool, optional
        Whether it needs at least one row; as the spec says by default.
    """
    file = file or spec.file
    source = TableFolder(source) if isinstance(source, Path) else source
    if spec.optional and source.is_away(file):
        return Records(file, (), book, keys=frozenset(c.key for c in spec.columns))
    try:
        table = source.table(file)
    except WorkshopError as error:
        book.extend(error.faults)
        return Records(file, (), book, readable=False)
    read = told_by(table, spec, source.habits, file)
    for fault in read.faults:
        book.add(*fault)
    rows = tuple(Record(file, row.number, spec, row.values, row.texts, row.sure, book) for row in read.rows)
    lacking = (spec.rows_needed if rows_needed is None else rows_needed) and not rows
    if lacking:
        book.add(file, None, "", "headings without any row", "at least one row", "fill in a row")
    return Records(file, rows, book, not lacking, read.keys)
