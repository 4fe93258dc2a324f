"""A shop's label beside our recipe: shared, missing and extra names.

No percentage of likeness: two lists that share all names may be two different products.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.formula.substances.naming import substance
from maker_kit.frames import frame_of
from maker_kit.label.declared import Declaration
from maker_kit.label.reading import LabelReading
from maker_kit.label.roles import role_of
from maker_kit.names import name_key

SHARED, MISSING, EXTRA = "in both", "only on the shop's", "only in ours"
ORDER = (SHARED, MISSING, EXTRA)
OUTSIDE, WITHIN, UNKNOWN = "ours lies outside", "ours may be the same", "strength unknown"


@dataclass(frozen=True)
class BesideRow:
    """One name, on the shop's list or ours or both.

    Attributes
    ----------
    name, where, role : str
        `where` is one of `ORDER`.
    shop_low, shop_high : Fraction or None
        What the shop's label allows [%].
    ours_low, ours_high : Fraction or None
        What ours holds [%].
    standing : str
        `OUTSIDE`, `WITHIN` or `UNKNOWN`.
    """

    name: str
    where: str
    role: str
    shop_low: Fraction | None
    shop_high: Fraction | None
    ours_low: Fraction | None
    ours_high: Fraction | None
    standing: str


@dataclass(frozen=True)
class Beside:
    """Two lists beside each other."""

    rows: tuple[BesideRow, ...]

    def of(self, where: str) -> tuple[BesideRow, ...]:
        """The rows of one kind: `SHARED`, `MISSING` or `EXTRA`."""
        return tuple(r for r in self.rows if r.where == where)

    def to_frame(self) -> pd.DataFrame:
        """Name, where it stands, what it does, least and most of both [%], and what can be said of its strength."""
        columns = {"name": "name", "where": "where", "function": "role"}
        figures = {
            "shop least %": "shop_low",
            "shop most %": "shop_high",
            "ours least %": "ours_low",
            "ours most %": "ours_high",
        }
        return frame_of(self.rows, columns | figures | {"strength": "standing"}, blank=figures)


def beside(reading: LabelReading, ours: Declaration) -> Beside:
    """The shop's list beside ours.

    Parameters
    ----------
    reading : LabelReading
    ours : Declaration

    Returns
    -------
    Beside
        Shared names first, then those of the shop alone, then ours alone.
    """

    def key(name: str) -> str:
        return substance(name).key or name_key(name)

    mine = {key(r.substance): r for r in ours.rows}
    shop = {key(r.name): r for r in reading.rows}
    rows = []
    for k, row in shop.items():
        own = mine.get(k)
        low, high = (None if b is None else b.exact for b in (row.least, row.most))
        rows.append(
            BesideRow(
                row.name,
                SHARED if own else MISSING,
                role_of(row.name),
                low,
                high,
                own.low if own else None,
                own.high if own else None,
                UNKNOWN if own is None or high is None else _standing(low, high, own.low, own.high),
            )
        )
    rows += [
        BesideRow(r.name, EXTRA, role_of(r.substance), None, None, r.low, r.high, UNKNOWN)
        for k, r in mine.items()
        if k not in shop
    ]
    return Beside(tuple(sorted(rows, key=lambda r: ORDER.index(r.where))))


def _standing(low: Fraction, high: Fraction, own_low: Fraction, own_high: Fraction) -> str:
    return OUTSIDE if own_low > high or own_high < low else WITHIN
