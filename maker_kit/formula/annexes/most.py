"""The most that the law allows of a substance by name, in the mass of what is named: what a label that keeps the law
cannot exceed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import ceil

from maker_kit.formula.annexes.counted import factor_of
from maker_kit.formula.annexes.entries import Entry
from maker_kit.formula.annexes.listed import covered
from maker_kit.formula.annexes.verdicts import NOT_ONLY_FILTERS, entries_of
from maker_kit.formula.ingredient import ProductType
from maker_kit.formula.substances.naming import substance_key

STEP, FINE_STEP = Fraction(1, 100), Fraction(1, 10_000)
"""Steps to which a converted figure is rounded up [%], the fine one below 0.1 %: a bound must not be tighter than the
law."""
_PURPOSE = {"V": "preservative", "VI": "UV filter"}


@dataclass(frozen=True)
class LawMost:
    """A legal maximum of one substance.

    Attributes
    ----------
    percent : Fraction
        Most of the named substance [% by mass of the product], rounded up where it had to be converted.
    figure : Fraction
        The law's figure [%], counted as `basis` says.
    basis : str
        ``as acid`` and so on; empty for as supplied.
    only_as : str
        Purpose for which alone it holds (``preservative``), where the law lists the substance for others too; else
        empty.
    source : str
    """

    percent: Fraction
    figure: Fraction
    basis: str
    only_as: str
    source: str


@lru_cache(maxsize=4096)
def most_by_law(name: str, product: ProductType | None = None) -> LawMost | None:
    """The tightest legal maximum of a substance in a product (Annexes III, V and VI of Regulation (EC) No 1223/2009).

    Of an entry's uses that a product may be, the loosest counts; where none has a figure, or the factor by which the
    law counts is not on file, there is none.

    Parameters
    ----------
    name : str
    product : ProductType, optional
        Where it goes; any product where nobody says.

    Returns
    -------
    LawMost or None
    """
    key = substance_key(name)
    entries = [e for e in entries_of(name) if e.annex in {"III", "V", "VI"}]
    if key in {substance_key(n) for n in NOT_ONLY_FILTERS}:
        entries = [e for e in entries if e.annex != "VI"]
    found = []
    for entry in entries:
        figure, factor = _loosest(entry, product), factor_of(entry, key)
        if figure is None or not factor:
            continue
        elsewhere = any(e.annex == "III" for e in entries) and entry.annex in _PURPOSE
        purpose = _PURPOSE[entry.annex] if elsewhere else ""
        percent = figure if factor == 1 else _up(figure / factor)
        if percent < 100:
            found.append(LawMost(percent, figure, entry.basis, purpose, entry.source))
    others = [m for m in found if not m.only_as]
    if others and max(m.percent for m in others) > min(m.percent for m in found):
        found = others  # what it may be for other purposes is more than as a preservative
    return min(found, key=lambda m: m.percent, default=None)


def _up(percent: Fraction) -> Fraction:
    step = STEP if percent >= Fraction(1, 10) else FINE_STEP
    return ceil(percent / step) * step


def _loosest(entry: Entry, product: ProductType | None) -> Fraction | None:
    """The loosest figure of an entry for a product; on several places the tightest of those."""
    if product is None:
        figures = [use.most for use in entry.uses]
        return None if not figures or None in figures else max(figures)
    held = []
    for place in product.places:
        uses = covered(entry, place, product)
        figures = [use.most for use in (*uses.surely, *uses.perhaps)]
        held.append(None if not figures or None in figures else max(figures))
    return min((f for f in held if f is not None), default=None)
