"""How the law counts: a salt as its acid, a compound as its metal; exact, each product rounded to five significant
digits, as many as a factor has.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from maker_kit import reference
from maker_kit.formula.annexes.entries import Entry
from maker_kit.formula.annexes.verdict import Content
from maker_kit.formula.substances.naming import substance_key
from maker_kit.formula.substances.spelling import fold
from maker_kit.numbers import significant

FACTORS = "annex_factors.csv"
COUNTED = "counted_as.csv"


@dataclass(frozen=True)
class Held:
    """What a product holds of one entry's substances.

    Attributes
    ----------
    contents : tuple of Content
    low : Fraction
        Least, counted as the entry counts [% of the whole]; what has no factor counts nothing here.
    high : Fraction or None
        Most; what has no factor counts in full, which is more than it can be. None where an amount is not told.
    sure : bool
        Whether every amount has its factor: `high` may then be held against a figure from below too.
    worst : Fraction
        Most that there can be where nobody has told, as far as that is known; `high` where all is told.
    """

    contents: tuple[Content, ...]
    low: Fraction
    high: Fraction | None
    sure: bool
    worst: Fraction = Fraction(0)


@lru_cache(maxsize=1)
def _factors() -> tuple[dict[tuple[str, str, str], Fraction], dict[str, Fraction]]:
    own: dict[tuple[str, str, str], Fraction] = {}
    for row in reference.rows(FACTORS, columns=("annex", "entry", "inci", "group", "factor")):
        if row["factor"]:
            own[row["annex"], row["entry"], substance_key(row["inci"])] = Fraction(row["factor"])
    acids = {
        substance_key(row["inci"]): Fraction(row["factor"])
        for row in reference.rows(COUNTED, columns=("inci", "factor"))
        if row["factor"]
    }
    return own, acids


@lru_cache(maxsize=1)
def groups() -> dict[tuple[str, str], dict[str, str]]:
    """(annex, entry) → key → group, where an entry's figure holds for each group by itself (a single paraben)."""
    found: dict[tuple[str, str], dict[str, str]] = {}
    for row in reference.rows(FACTORS, columns=("annex", "entry", "inci", "group")):
        if row["group"] and row["group"] != "not alone":
            found.setdefault((row["annex"], row["entry"]), {})[substance_key(row["inci"])] = row["group"]
    return found


@lru_cache(maxsize=4096)
def factor_of(entry: Entry, key: str) -> Fraction | None:
    """Mass that an entry counts in one gram of a substance as supplied; None where it is not on file (it is then at
    most 1).

    Parameters
    ----------
    entry : Entry
    key : str
        Key of the substance.

    Returns
    -------
    Fraction or None
        Ratio of molar masses, see ``annex_factors.csv`` and ``counted_as.csv``; 1 for what is counted as supplied,
        or is itself what the law counts as.
    """
    own, acids = _factors()
    told = own.get((entry.annex, entry.number, key))
    if told is not None:
        return told
    if not entry.basis:
        return Fraction(1)
    if entry.annex in {"III", "V"} and entry.basis == "as acid" and key in acids:
        return acids[key]
    counted = fold(entry.basis.removeprefix("as "))
    if (
        key == counted
        or (len(counted) > 3 and (key in counted or counted in key))
        or (entry.basis == "as acid" and key.endswith("acid"))
        or "anhydrous" in counted
    ):
        return Fraction(1)
    return None


def held(entry: Entry, contents: tuple[Content, ...]) -> Held:
    """What a product holds of an entry's substances, counted as the entry counts: Σ amount × factor.

    Parameters
    ----------
    entry : Entry
    contents : tuple of Content
        Those of the product that belong to the entry.

    Returns
    -------
    Held
    """
    low, high, worst, sure = Fraction(0), Fraction(0), Fraction(0), True
    unknown = False
    for content in contents:
        factor = factor_of(entry, substance_key(content.name))
        if factor is None:
            sure = False
        else:
            low += _product(content.low, factor)
        worst += _product(content.at_most, factor or Fraction(1))
        if content.high is None:
            unknown = True
        else:
            high += _product(content.high, factor or Fraction(1))
    return Held(contents, low, None if unknown else high, sure, worst)


def _product(amount: Fraction, factor: Fraction) -> Fraction:
    return amount if factor == 1 else significant(amount * factor)
