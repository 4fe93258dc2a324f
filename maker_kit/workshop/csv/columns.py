"""What a column of a table may hold; every column of every table stands in ``columns.csv`` beside this file, with what
it means.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from maker_kit.formula.preservation.ph_reading import TOOLS
from maker_kit.trial.card import BETTER, MEASURES, WEIGHTS
from maker_kit.trial.journal import ACTS
from maker_kit.workshop.csv.habits import DATE_ORDERS, DECIMAL_MARKS
from maker_kit.workshop.csv.habits import WEIGHTS as UNITS_OF_WEIGHT

MOST_NAME = 120
"""Longest name [characters]."""


@dataclass(frozen=True)
class Ask:
    """What makes a value suspicious: it lies outside the usual.

    Attributes
    ----------
    low, high : Decimal
        The usual range, ends included.
    why : str
        What it is usually, in words.
    """

    low: Decimal
    high: Decimal
    why: str


@dataclass(frozen=True)
class Column:
    """One column of a table.

    Attributes
    ----------
    heading : str
        As a maker reads it, with the unit in brackets: ``density [g/mL]``. Capitals and blanks make no difference.
    kind : str
        ``name``, ``text``, ``word``, ``number``, ``whole``, ``money``, ``amount``, ``yes/no``, ``date``, ``list``,
        ``one of``, ``INCI`` (a list of names of substances) or ``substance`` (one of them).
    needed : bool
        Whether a cell may not be blank, nor the column missing.
    key : str
        Its name in a record, which is that of the field it fills; the heading's words without the unit unless given.
    low, high : str
        Range of a number, money or whole number, ends included.
    above : bool
        Whether `low` itself is refused.
    ask : Ask, optional
        Values to ask about.
    choices : tuple of str
        For ``one of``: all of them; for ``word``: words that a near miss is asked about.
    alike : tuple of (str, str)
        For ``word``: words that are asked about because another is the usual one.
    bare_oz : bool
        Whether a bare "oz" is kept as an amount of unknown basis.
    bases : tuple of str
        Bases an amount may have.
    blank : object
        What a blank cell means; unless given, no text, no names, no, or that it is not known.
    """

    heading: str
    kind: str = "text"
    needed: bool = False
    key: str = ""
    low: str = "0"
    high: str = "1000000"
    above: bool = False
    ask: Ask | None = None
    choices: tuple[str, ...] = ()
    alike: tuple[tuple[str, str], ...] = ()
    bare_oz: bool = False
    bases: tuple[str, ...] = ("mass", "volume", "pieces")
    blank: Any = None

    def __post_init__(self) -> None:
        if not self.key:
            words = re.sub(r"\[.*\]", "", self.heading).casefold().split()
            object.__setattr__(self, "key", "_".join(words))
        if self.blank is None:
            object.__setattr__(self, "blank", _BLANK.get(self.kind))

    @property
    def unit(self) -> str:
        """The unit in the heading's brackets; empty where there is none."""
        found = re.search(r"\[(.+)\]", self.heading)
        return found[1] if found else "%" if self.heading == "percent" else ""

    def allows(self) -> str:
        """What may stand in it, in words."""
        unit, start = f" {self.unit}" if self.unit else "", f"{'above' if self.above else 'from'} {self.low}"
        up = " and up" if self.above else ""
        return {
            "name": f"a name of 1 to {MOST_NAME} characters",
            "text": "a text",
            "word": "a word, such as " + ", ".join(self.choices[:4]),
            "number": f"a number {start}{up} to {self.high}{unit}",
            "whole": f"a whole number {start}{up} to {self.high}{unit}",
            "money": f"a price {start}, in whole cents, such as 7.40",
            "amount": f"an amount with its unit, such as {_AMOUNTS[self.bases[0]]}",
            "yes/no": "yes or no",
            "date": "a date such as 2026-03-31 or 31.3.2026",
            "list": "names separated by semicolons",
            "INCI": "INCI names separated by semicolons",
            "substance": f"a name of 1 to {MOST_NAME} characters",
            "one of": "one of: " + ", ".join(self.choices),
        }[self.kind]


_BLANK = {"name": "", "text": "", "word": "", "one of": "", "list": (), "INCI": (), "substance": "", "yes/no": False}
_AMOUNTS = {"mass": "250 g", "volume": "250 mL", "pieces": "24 pieces"}


@dataclass(frozen=True)
class TableSpec:
    """One table.

    Attributes
    ----------
    name : str
        Under which its columns stand in ``columns.csv``.
    keys : str
        Those that no two rows share, one after the other.
    rows_needed : bool
        Whether it needs at least one row.
    optional : bool
        Whether a workshop may be without this table.
    ending : str
        For the tables of one recipe or run: what follows its name in the file's name.
    front : tuple of Column
        Columns before its own.
    """

    name: str
    keys: str = ""
    rows_needed: bool = False
    optional: bool = False
    ending: str = ""
    front: tuple[Column, ...] = ()

    @property
    def file(self) -> str:
        """File name; for the tables of one recipe or run, what follows its name."""
        return self.ending or f"{self.name}.csv"

    @property
    def unique(self) -> tuple[str, ...]:
        """The keys that no two rows share."""
        return tuple(self.keys.split())

    @cached_property
    def columns(self) -> tuple[Column, ...]:
        """Its columns, in the order in which we write them."""
        return (*self.front, *map(_column, rows_of(self.name)))

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings as we write them."""
        return tuple(c.heading for c in self.columns)

    def heading(self, key: str) -> str:
        """The heading of one column."""
        return next(c.heading for c in self.columns if c.key == key)


def about(table: str) -> str:
    """What a table is for."""
    return next(row["means"] for row in _rows() if row["table"] == table and not row["key"])


def rows_of(table: str) -> tuple[Mapping[str, str], ...]:
    """What ``columns.csv`` says of the columns of a table, a row a column."""
    return tuple(row for row in _rows() if row["table"] == table and row["key"])


@cache
def _rows() -> tuple[Mapping[str, str], ...]:
    with Path(__file__).with_name("columns.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def _column(row: Mapping[str, str]) -> Column:
    kind, blank = row["kind"], row["blank"]
    usual = Ask(Decimal(row["usual_from"]), Decimal(row["usual_to"]), row["usual"]) if row["usual"] else None
    return Column(
        row["heading"],
        kind,
        row["needed"] == "yes",
        row["key"],
        row["low"] or "0",
        row["high"] or "1000000",
        row["above"] == "yes",
        usual,
        CHOICES.get(row["choices"]) or _words(row["choices"]),
        tuple(tuple(word.split("=")) for word in _words(row["alike"])),
        row["bare_oz"] == "yes",
        _words(row["bases"]) or Column.bases,
        _READ.get(kind, str)(blank) if blank else None,
    )


def _words(cell: str) -> tuple[str, ...]:
    return tuple(cell.split("; ")) if cell else ()


CHOICES = {
    "acts": ACTS,
    "better": BETTER,
    "date orders": DATE_ORDERS,
    "decimal marks": DECIMAL_MARKS,
    "how much it counts": WEIGHTS,
    "measures": MEASURES,
    "pH tools": tuple(TOOLS),
    "weights": UNITS_OF_WEIGHT,
}
"""Words that a cell of ``choices`` stands for, because others go by them too."""
_READ = {"number": Decimal, "whole": int, "money": int, "yes/no": "yes".__eq__}


def bare(heading: str) -> str:
    """A heading as headings are compared: without capitals, blanks and the dot of ``[mPa·s]``, on no keyboard."""
    return "".join(heading.casefold().replace("·", "").split())
