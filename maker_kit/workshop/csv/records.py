"""Tables read by their columns: one record a row, every wrong cell a fault, duplicate rows a fault."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields
from decimal import Decimal
from pathlib import Path
from typing import Any, TypeVar

from maker_kit.errors import WorkshopError
from maker_kit.names import name_key, near_miss
from maker_kit.workshop.csv.cell_numbers import CellError, Marks, is_comma_number
from maker_kit.workshop.csv.cells import is_invented, read_cell
from maker_kit.workshop.csv.columns import TableSpec, bare
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.habits import COMMA, POINT, Habits
from maker_kit.workshop.csv.reading import RawTable
from maker_kit.workshop.csv.sources import TableFolder, Tables
from maker_kit.workshop.csv.typed import check_typed, marks_of

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
        cells = {f.name: self[f.name] for f in fields(kind) if f.name in self.values}  # type: ignore[arg-type]
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
    places = _places(table, spec, book)
    marks = _marks(table, places, source.habits)
    rows = []
    there = [(c, places[c.key], {}) for c in spec.columns if c.key in places]
    away = {c.key: c.blank for c in spec.columns if c.key not in places and not c.needed}
    for number, cells in table.rows:
        values, sure = dict(away), []
        for column, place, read in there:  # in a long table most cells say what a cell above them said
            text, typed = cells[place], table.typed.get((number, place), "")
            said = read.get((text, typed))
            if said is None:
                try:
                    check_typed(typed, text, column)
                    said = read[text, typed] = read_cell(text, column, marks_of(typed, marks))
                except CellError as error:
                    book.add(
                        file,
                        number,
                        column.heading,
                        shown(text),
                        error.allowed,
                        error.mend,
                        error.meant,
                        column.choices,
                    )
                    continue
            values[column.key] = said[0]
            if said[1]:
                sure.append(column.key)
        texts = {column.key: cells[place] for column, place, _ in there}
        rows.append(Record(file, number, spec, values, texts, frozenset(sure), book))
    lacking = (spec.rows_needed if rows_needed is None else rows_needed) and not rows
    if lacking:
        book.add(file, None, "", "headings without any row", "at least one row", "fill in a row")
    _duplicates(rows, spec)
    return Records(file, tuple(rows), book, not lacking, frozenset(places))


def _places(table: RawTable, spec: TableSpec, book: FaultBook) -> dict[str, int]:
    """Key to the column's number, for the columns that are there."""
    by_heading = {bare(c.heading): c for c in spec.columns}
    found = [(i, heading, by_heading.get(bare(heading))) for i, heading in enumerate(table.header)]
    places = {column.key: i for i, _, column in found if column}
    missing = [c for c in spec.columns if c.key not in places]
    for _, heading, column in found:
        if column is None:
            left = [c.heading for c in missing]
            near = near_miss(heading, left or spec.headings)
            book.add(
                table.file,
                1,
                heading,
                f"the heading {shown(heading)}, which this table does not have",
                "the headings " + ", ".join(spec.headings),
                f"{near.sentence} Correct the heading, or delete the column",
                "".join(near.close) if left else "",
                left,
            )
    for column in missing:
        if column.needed:
            allowed = f"the column {column.heading!r}: {column.allows()}"
            book.add(table.file, 1, column.heading, "no column with this heading", allowed, "put the column back")
    return places


def _marks(table: RawTable, places: Mapping[str, int], habits: Habits) -> Marks:
    """How numbers are written in a table: as the workshop's settings say, and where they do not, as its separator and
    its cells do. In a sheet, only what was typed as text is in question.
    """
    comma_ok = habits.decimal_mark == COMMA or (habits.decimal_mark != POINT and (table.semicolons or table.sheet))
    if not comma_ok:
        return Marks(habits=habits)
    found = {
        is_comma_number(cells[i])
        for number, cells in table.rows
        for i in places.values()
        if (number, i) not in table.typed
    } - {None}
    both = len(found) == 2 or table.sheet or (table.semicolons and habits.decimal_mark == COMMA)
    return Marks(comma_ok=True, mixed=both, habits=habits)


def _duplicates(rows: Iterable[Record], spec: TableSpec) -> None:
    seen: dict[tuple[Any, ...], int] = {}
    for record in rows:
        if not spec.unique or not all(key in record.values for key in spec.unique):
            continue
        first = seen.setdefault(tuple(comparable(record[k]) for k in spec.unique), record.row)
        if first != record.row:
            what = ", ".join(map(spec.heading, spec.unique))
            told = shown(", ".join(record.texts.get(k, "").strip() or "blank" for k in spec.unique))
            found = f"the same {what} as in row {first}: {told}"
            record.refuse(spec.unique[0], "one row for each", "delete one of the two rows, or correct it", found)


def comparable(value: Any) -> Any:
    """A value of a cell as it is held against another: names whatever their capitals."""
    return name_key(value) if isinstance(value, str) else value
