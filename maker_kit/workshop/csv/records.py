"""Tables read by their columns: one record a row, every wrong cell a fault, duplicate rows a fault."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from maker_kit.errors import WorkshopError
from maker_kit.names import name_key, near_miss
from maker_kit.workshop.csv.columns import CellError, Marks, is_comma_number, read_cell
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.reading import Table, read_table
from maker_kit.workshop.csv.tables import TableSpec


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
    """

    file: str
    row: int
    spec: TableSpec
    values: Mapping[str, Any]
    texts: Mapping[str, str]
    sure: frozenset[str] = frozenset()

    def __getitem__(self, key: str) -> Any:
        return self.values.get(key)

    @property
    def whole(self) -> bool:
        """Whether every cell could be read."""
        return len(self.values) == len(self.spec.columns)

    def heading(self, key: str) -> str:
        """The heading of a column."""
        return next(c.heading for c in self.spec.columns if c.key == key)

    def place(self, key: str) -> tuple[str, int, str]:
        """File, row and column of a cell, for a fault."""
        return self.file, self.row, self.heading(key)

    def refuse(self, book: FaultBook, key: str, allowed: str, mend: str, found: str = "") -> None:
        """Write down a fault of one cell."""
        book.add(*self.place(key), found or shown(self.texts.get(key, "")), allowed, mend)


@dataclass(frozen=True)
class Records:
    """The rows of one table.

    Attributes
    ----------
    file : str
    rows : tuple of Record
    readable : bool
        Whether the file could be read and has the rows it needs; where not, nothing can be said about names that stand in it.
    keys : frozenset of str
        Keys of the columns that are there.
    """

    file: str
    rows: tuple[Record, ...]
    readable: bool = True
    keys: frozenset[str] = frozenset()

    def __iter__(self) -> Iterator[Record]:
        return iter(self.rows)

    def names(self, key: str) -> list[str] | None:
        """What stands in one column, whatever else is wrong with the rows; None where the table could not be read."""
        return [r[key] for r in self.rows if r[key]] if self.readable and key in self.keys else None


def grouped(records: Iterable[Record], key: str, names: Names, book: FaultBook) -> dict[str, list[Record]]:
    """The rows by the name that stands under one key, as its table writes it; a fault for every name that is not known."""
    groups: dict[str, list[Record]] = {}
    for record in records:
        name = names.check(book, record.place(key), record[key]) if record[key] else None
        if name is not None:
            groups.setdefault(name, []).append(record)
    return groups


def agreed(rows: Iterable[Record], key: str) -> Any:
    """What rows that belong together say of the whole, from the first of them that says it; None where none does."""
    return next((r[key] for r in rows if r[key] not in (None, ())), None)


def check_agreed(rows: Iterable[Record], key: str, what: str, book: FaultBook) -> None:
    """A fault for every row that says something else than the first one does; a blank agrees."""
    given = [r for r in rows if r[key] not in (None, ())]
    for r in given[1:]:
        if _comparable(r[key]) != _comparable(given[0][key]):
            r.refuse(
                book,
                key,
                f"the same as in row {given[0].row}: {shown(given[0].texts[key])}",
                f"rows of one {what} agree on it: correct one, or leave it blank in all but the first",
            )


def as_float(number: Decimal | None) -> float | None:
    """A number that may be blank."""
    return None if number is None else float(number)


def read_records(folder: Path, spec: TableSpec, book: FaultBook, file: str = "") -> Records:
    """Read a table of a folder by its columns and write its faults down.

    Parameters
    ----------
    folder : Path
    spec : TableSpec
    book : FaultBook
        Where faults go.
    file : str, optional
        File relative to the folder; the spec's own by default.
    """
    file = file or spec.file
    try:
        table = read_table(folder / file, file)
    except WorkshopError as error:
        book.extend(error.faults)
        return Records(file, (), readable=False)
    places, readable = _places(table, spec, book), True
    marks = _marks(table, places)
    rows = tuple(_record(table.file, number, cells, places, spec, marks, book) for number, cells in table.rows)
    if spec.rows_needed and not rows:
        book.add(file, None, "", "headings without any row", "at least one row", "fill in a row")
        readable = False
    _duplicates(rows, spec, book)
    return Records(file, rows, readable, frozenset(places))


def _places(table: Table, spec: TableSpec, book: FaultBook) -> dict[str, int]:
    """Key to the column's number, for the columns that are there."""
    by_heading = {_bare(c.heading): c for c in spec.columns}
    places: dict[str, int] = {}
    unknown: list[str] = []
    for i, heading in enumerate(table.header):
        column = by_heading.get(_bare(heading))
        if column is None:
            unknown.append(heading)
        else:
            places[column.key] = i
    missing = [c for c in spec.columns if c.key not in places]
    for heading in unknown:
        book.add(
            table.file,
            1,
            heading,
            f"the heading {shown(heading)}, which this table does not have",
            "the headings " + ", ".join(spec.headings),
            f"{near_miss(heading, [c.heading for c in missing] or spec.headings).sentence} Correct the heading, or delete the column",
        )
    for column in missing:
        if column.needed:
            book.add(
                table.file,
                1,
                column.heading,
                "no column with this heading",
                f"the column {column.heading!r}: {column.allows()}",
                "put the column back",
            )
    return places


def _bare(heading: str) -> str:
    return "".join(heading.casefold().replace("·", "").split())  # [mPas] is [mPa·s]: no keyboard has the dot


def _marks(table: Table, places: Mapping[str, int]) -> Marks:
    if not table.semicolons:
        return Marks()
    found = {is_comma_number(cells[i]) for _, cells in table.rows for i in places.values()} - {None}
    return Marks(comma_ok=True, mixed=len(found) == 2)


def _record(
    file: str,
    number: int,
    cells: tuple[str, ...],
    places: Mapping[str, int],
    spec: TableSpec,
    marks: Marks,
    book: FaultBook,
) -> Record:
    values: dict[str, Any] = {}
    texts: dict[str, str] = {}
    sure: set[str] = set()
    for column in spec.columns:
        if column.key not in places:
            if not column.needed:
                values[column.key], _ = read_cell("", column, marks)
            continue
        texts[column.key] = cells[places[column.key]]
        try:
            values[column.key], is_sure = read_cell(texts[column.key], column, marks)
        except CellError as error:
            book.add(file, number, column.heading, shown(texts[column.key]), error.allowed, error.mend)
            continue
        if is_sure:
            sure.add(column.key)
    return Record(file, number, spec, values, texts, frozenset(sure))


def _duplicates(rows: tuple[Record, ...], spec: TableSpec, book: FaultBook) -> None:
    seen: dict[tuple[Any, ...], int] = {}
    for record in rows:
        if not spec.unique or not all(key in record.values for key in spec.unique):
            continue
        key = tuple(_comparable(record[k]) for k in spec.unique)
        if key in seen:
            what = ", ".join(record.heading(k) for k in spec.unique)
            book.add(
                record.file,
                record.row,
                record.heading(spec.unique[0]),
                f"the same {what} as in row {seen[key]}: "
                + shown(", ".join(record.texts.get(k, "").strip() or "blank" for k in spec.unique)),
                "one row for each",
                "delete one of the two rows, or correct it",
            )
        else:
            seen[key] = record.row


def _comparable(value: Any) -> Any:
    return name_key(value) if isinstance(value, str) else value
