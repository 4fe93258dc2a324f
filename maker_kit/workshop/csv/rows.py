"""What the rows of one table say by its columns, and every fault in them: it follows from the table alone, so that one
that has not changed is not read cell by cell again.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from maker_kit.names import name_key, near_miss
from maker_kit.workshop.csv.cell_numbers import CellError, Marks, is_comma_number
from maker_kit.workshop.csv.cells import read_cell
from maker_kit.workshop.csv.columns import Column, TableSpec, bare
from maker_kit.workshop.csv.faults import shown
from maker_kit.workshop.csv.habits import COMMA, POINT, Habits
from maker_kit.workshop.csv.reading import RawTable
from maker_kit.workshop.csv.typed import check_typed, marks_of

MOST_KEPT, LONGEST_KEPT = 128, 200
"""So many tables are kept as they were read, of at most so many rows: those of a workshop of a few dozen recipes."""
Told = tuple[str, int | None, str, str, str, str, str, Collection[str]]
"""The words of a fault, in the order in which `maker_kit.workshop.csv.faults.FaultBook.add` takes them."""


@dataclass(frozen=True)
class Row:
    """One row; see `maker_kit.workshop.csv.records.Record`, of which it lacks the book.

    Attributes
    ----------
    number : int
    values : Mapping of str to object
    texts : Mapping of str to str
    sure : frozenset of str
    """

    number: int
    values: Mapping[str, Any]
    texts: Mapping[str, str]
    sure: frozenset[str]


@dataclass(frozen=True)
class ReadTable:
    """What a table says.

    Attributes
    ----------
    rows : tuple of Row
    faults : tuple
        In the order in which they are told.
    keys : frozenset of str
        Keys of the columns that are there.
    """

    rows: tuple[Row, ...]
    faults: tuple[Told, ...]
    keys: frozenset[str]


def told_by(table: RawTable, spec: TableSpec, habits: Habits, file: str) -> ReadTable:
    """What a table says by its columns; nothing in it may be changed, for it may be kept.

    Parameters
    ----------
    table : RawTable
    spec : TableSpec
    habits : Habits
    file : str
        How faults name it.
    """
    return (_kept if len(table.rows) <= LONGEST_KEPT else _read)(table, spec, habits, file)


def _read(table: RawTable, spec: TableSpec, habits: Habits, file: str) -> ReadTable:
    faults: list[Told] = []
    places = _places(table, spec, faults)
    marks = _marks(table, places, habits)
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
                    faults.append(_refused(file, number, column, text, error))
                    continue
            values[column.key] = said[0]
            if said[1]:
                sure.append(column.key)
        texts = {column.key: cells[place] for column, place, _ in there}
        rows.append(Row(number, values, texts, frozenset(sure)))
    _duplicates(rows, spec, file, faults)
    return ReadTable(tuple(rows), tuple(faults), frozenset(places))


_kept = lru_cache(maxsize=MOST_KEPT)(_read)


def _refused(file: str, number: int, column: Column, text: str, error: CellError) -> Told:
    return file, number, column.heading, shown(text), error.allowed, error.mend, error.meant, column.choices


def _places(table: RawTable, spec: TableSpec, faults: list[Told]) -> dict[str, int]:
    """Key to the column's number, for the columns that are there."""
    by_heading = {bare(c.heading): c for c in spec.columns}
    found = [(i, heading, by_heading.get(bare(heading))) for i, heading in enumerate(table.header)]
    places = {column.key: i for i, _, column in found if column}
    missing = [c for c in spec.columns if c.key not in places]
    for _, heading, column in found:
        if column is None:
            left = [c.heading for c in missing]
            near = near_miss(heading, left or spec.headings)
            odd = f"the heading {shown(heading)}, which this table does not have"
            allowed = "the headings " + ", ".join(spec.headings)
            mend = f"{near.sentence} Correct the heading, or delete the column"
            faults.append(
                (table.file, 1, heading, odd, allowed, mend, "".join(near.close) if left else "", tuple(left))
            )
    for column in missing:
        if column.needed:
            allowed = f"the column {column.heading!r}: {column.allows()}"
            none = "no column with this heading"
            faults.append((table.file, 1, column.heading, none, allowed, "put the column back", "", ()))
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


def _duplicates(rows: Iterable[Row], spec: TableSpec, file: str, faults: list[Told]) -> None:
    seen: dict[tuple[Any, ...], int] = {}
    for row in rows if spec.unique else ():
        if not all(key in row.values for key in spec.unique):
            continue
        first = seen.setdefault(tuple(comparable(row.values[k]) for k in spec.unique), row.number)
        if first != row.number:
            what = ", ".join(map(spec.heading, spec.unique))
            told = shown(", ".join(row.texts.get(k, "").strip() or "blank" for k in spec.unique))
            found, mend = f"the same {what} as in row {first}: {told}", "delete one of the two rows, or correct it"
            faults.append((file, row.number, spec.heading(spec.unique[0]), found, "one row for each", mend, "", ()))


def comparable(value: Any) -> Any:
    """What a cell says as cells are compared: a text folded."""
    return name_key(value) if isinstance(value, str) else value
