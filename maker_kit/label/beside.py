"""A shop's label beside our recipe: shared, missing and extra names, and what kind of product its list looks like.

No percentage of likeness: two lists that share all names may be two different products.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.findings import PRACTICE, Finding, know, look
from maker_kit.formula.substances.naming import substance
from maker_kit.frames import frame_of
from maker_kit.label.declared import Declaration
from maker_kit.label.label_text import INSIDE
from maker_kit.label.reading import LabelReading
from maker_kit.label.roles import is_oily, role_of
from maker_kit.names import name_key

SHARED, MISSING, EXTRA = "in both", "only on the shop's", "only in ours"
ORDER = (SHARED, MISSING, EXTRA)
OUTSIDE, WITHIN, UNKNOWN = "ours lies outside", "ours may be the same", "strength unknown"
GEL_LEVEL = Fraction(2, 10)
"""Least of a gel former that makes a gel of water [%] (common practice, no source)."""
LOTION_OIL = Fraction(3)
"""Least oil phase of what is called a lotion or cream [%] (common practice, no source)."""


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

        def number(get: str):
            return lambda r: None if getattr(r, get) is None else float(getattr(r, get))

        columns = {"name": "name", "where": "where", "function": "role"}
        figures = {
            "shop least %": number("shop_low"),
            "shop most %": number("shop_high"),
            "ours least %": number("ours_low"),
            "ours most %": number("ours_high"),
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


def kind_of(reading: LabelReading, called: str = "") -> tuple[Finding, ...]:
    """What kind of product a list looks like, and whether that fits what it is called. Common practice, no source.

    Rules: no water among the first three and oils or waxes: a balm or an oil. Water and a surfactant among the first
    four: a wash. Water and an oil phase that may be 3 % or more with an emulsifier: a lotion or cream. Water, no such
    oil phase, a gel former that may be 0.2 % or more: a gel. Water and neither: a water.

    Parameters
    ----------
    reading : LabelReading
    called : str
        What the pack calls it: ``gel``, ``lotion``, ``wash`` and so on.

    Returns
    -------
    tuple of Finding
    """
    names = [r for r in reading.rows if r.role != INSIDE]
    most = {r.name: r.most.exact if r.most else (r.bare_most.exact if r.bare_most else Fraction(100)) for r in names}
    roles = {r.name: role_of(r.name) for r in names}
    first = [roles[r.name] for r in names[:4]]
    oils = [n for n in most if is_oily(n)]
    oil_most = min(sum((most[n] for n in oils), Fraction(0)), Fraction(100))
    formers = [n for n, role in roles.items() if role == "gum"]
    holds_formed = any(most[n] >= GEL_LEVEL for n in formers)
    emulsifies = any(role == "emulsifier" for role in roles.values())
    watery = any(role in {"water", "floral water"} for role in first[:3])
    if not watery and (oils or roles):
        kind, why = ("balm or oil", f"no water among the first names, and {_some(oils)}")
    elif "surfactant" in first:
        kind, why = "wash", "water and a surfactant among the first four names"
    elif oils and oil_most >= LOTION_OIL and (emulsifies or not holds_formed):
        kind, why = "lotion or cream", f"an oil phase of up to {float(oil_most):.3g} % ({_some(oils)})"
    elif holds_formed and oils and oil_most >= LOTION_OIL:
        kind, why = "gel cream", f"a gel former ({_some(formers)}) beside oils of up to {float(oil_most):.3g} %"
    elif holds_formed:
        kind, why = "gel", f"water with a gel former ({_some(formers)}) and hardly any oil"
    else:
        kind, why = "water", "water, and neither an oil phase nor a gel former at gel level"
    found = [know("label.kind", "kind", f"By its list expect a {kind}: {why}.", source=PRACTICE)]
    if called.strip() and not _same_kind(called, kind):
        told = f'It is called "{called.strip()}", and its list looks like a {kind}: {why}.'
        step = "Look at it: does it pour, hold a peak, foam? A list cannot tell."
        found.append(look("label.kind_differs", "kind", told, next_step=step, source=PRACTICE))
    return tuple(found)


def _same_kind(called: str, kind: str) -> bool:
    word = name_key(called)
    like = {
        "balm or oil": ("balm", "oil", "butter", "salve", "stick"),
        "wash": ("wash", "shampoo", "soap", "foam", "gel", "shower"),
        "lotion or cream": ("lotion", "cream", "milk"),
        "gel cream": ("gel", "cream"),
        "gel": ("gel",),
        "water": ("water", "toner", "tonic", "mist", "spray"),
    }[kind]
    return any(w in word for w in like)


def _some(names: list[str]) -> str:
    if not names:
        return "no oil that is on file"
    return ", ".join(names[:3]) + (" and more" if len(names) > 3 else "")
