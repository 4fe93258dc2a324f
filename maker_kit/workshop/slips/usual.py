"""What is usual, from memory: levels, densities and prices by what an ingredient does, and a few figures of shops,
containers and mails. The figures stand in the reference table ``usual_figures.csv``.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from maker_kit import reference
from maker_kit.names import name_key

MONEY_LIKE_EURO = frozenset({"EUR", "USD", "GBP", "CHF", "CAD", "AUD", "NZD"})
"""Currencies whose unit is worth about a euro, within a factor of 2: usual prices hold in no other."""


class Usual(NamedTuple):
    """A usual range.

    Attributes
    ----------
    low, high : float
        Ends, in `unit`.
    unit : str
    """

    low: float
    high: float
    unit: str

    def holds(self, value: float) -> bool:
        """Whether a value lies in it."""
        return self.low <= value <= self.high

    def words(self) -> str:
        """Both ends with the unit."""
        return f"{self.low:g} to {self.high:g} {self.unit}".rstrip()


@lru_cache(maxsize=1)
def _table() -> dict[tuple[str, str], Usual]:
    rows = reference.rows("usual_figures.csv", columns=("what", "of", "low", "high", "unit", "source", "checked"))
    return {(r["what"], name_key(r["of"])): Usual(float(r["low"]), float(r["high"]), r["unit"]) for r in rows}


def usual(what: str, of: str = "") -> Usual | None:
    """The usual range of something, such as ``density`` of ``oil``; None where none is on file."""
    return _table().get((what, name_key(of)))
