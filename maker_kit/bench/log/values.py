"""What may stand in a column of the bench log, and the mark that ties a row to the one before it."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping, Sequence
from typing import Any

from maker_kit.bench.log.schema import KEPT, NAMES, REAL, TABLES, WHOLE, YES, Column
from maker_kit.errors import QuantityError, UnknownNameError, short
from maker_kit.names import near_miss

MOST_IN_NAME, MOST_LETTERS = 100, 20_000
"""Letters of a lot's, a batch's or a unit's name, and of any other text; longer ones are something else."""


def new_id() -> str:
    """An id that no other row has: 64 random bits in hexadecimal."""
    return secrets.token_hex(8)


def fitting(table: str, column: Column, value: Any) -> Any:
    """A value as its column holds it; raises QuantityError where it cannot stand there."""
    value = value.strip() if isinstance(value, str) else value
    what = f'"{column.name}" of a {table}'
    if value is None or value == "":
        if column.needed:
            raise QuantityError(f"{what} is missing")
        return None
    if column.kind == YES:
        if value not in (True, False):
            raise QuantityError(f"{what} is yes, no or nothing, not {short(value)}")
        return int(value)
    if column.kind in (WHOLE, REAL):
        number = _number(value, column.kind == WHOLE)
        if number is None or (column.least is not None and number < column.least):
            allowed = "a whole number" if column.kind == WHOLE else "a number"
            least = f" of at least {column.least:g}" if column.least is not None else ""
            raise QuantityError(f"{what} is {allowed}{least}, not {short(value)}")
        return number
    text = str(value)
    if "\0" in text or not can_be_kept(text) or (column.words and text not in column.words):
        raise QuantityError(f"{what} is one of {', '.join(column.words) or 'plain texts'}, not {short(text)}")
    most = MOST_IN_NAME if NAMES.get(table) == column.name else MOST_LETTERS
    if len(text) > most:
        raise QuantityError(
            f"{what} has {len(text)} letters and signs; at most {most} are kept: was something else pasted?"
        )
    if NAMES.get(table) == column.name and not text.isprintable():
        raise QuantityError(f"{what} is written in one line, as it stands on a label, not {short(text)}")
    return text


def can_be_kept(text: str) -> bool:
    """Whether a text is one that a file can hold: half of a sign of two, which some programs paste, is none."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


def columns_of(table: str) -> dict[str, Column]:
    """A table's own columns by name; raises UnknownNameError where there is no such table."""
    if table not in TABLES:
        raise UnknownNameError(f'the bench log has no table "{table}"; {near_miss(table, list(TABLES))}')
    return {column.name: column for column in TABLES[table]}


def _number(value: Any, whole: bool) -> float | int | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    if value != value or value in (float("inf"), float("-inf")):
        return None
    if whole:
        return int(value) if value == int(value) and abs(value) < 2**62 else None
    return float(value)


def link(before: str, row: Mapping[str, Any], columns: Sequence[Column]) -> str:
    """The first 96 bits of SHA-256 over the link before and every column but the link itself, in their order.

    A column that a later version brought counts by its name where it holds something, and not where it is empty, so
    that a row from before keeps its mark.
    """
    names = [*(n for n in KEPT if n != "chain"), *(c.name for c in columns if c.since == 1)]
    cells = [before, *("" if row[n] is None else _marked(row[n]) for n in names)]
    later = [c.name for c in columns if c.since > 1]
    cells += [f"{n}={_marked(row[n])}" for n in later if n in row and row[n] is not None]
    return hashlib.sha256("\x1f".join(cells).encode()).hexdigest()[:24]


def _marked(value: Any) -> str:
    return f"{type(value).__name__}:{value!r}"
