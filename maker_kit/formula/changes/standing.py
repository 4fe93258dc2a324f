"""How a later figure stands to an earlier one, and by how much a pack may hold less than its label says."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from pathlib import Path

from maker_kit import reference
from maker_kit.errors import QuantityError
from maker_kit.names import look_up
from maker_kit.units import Amount

TABLES = {
    "EU": ("eu_tolerable_negative_error.csv", "nominal_g_or_mL", "tolerable_negative_error"),
    "US": ("net_weight_allowances.csv", "labelled_range", "mav_g"),
}
"""Market to the file of its allowances, and the columns of the labelled content and of the allowance."""


class Standing(StrEnum):
    """How a later figure stands to an earlier one, or why that is not known; ``str`` gives it in words."""

    FINE = "fine"
    MORE = "more"
    SHORT = "short"
    FAR_SHORT = "far short"
    UNKNOWN = "unknown"
    NOT_LISTED = "not listed"
    NOT_TAKEN = "not taken"
    NOT_READ = "not read"
    NOT_WEIGHED = "not weighed"
    NOT_COUNTED = "not counted"
    NOT_IN_KIT = "not in the kit"

    def __str__(self) -> str:
        return _WORDS.get(self.value, self.value)


_WORDS = {
    "far short": "far short: more than twice what it may lack",
    "not listed": "not on the kit list",
    "not taken": "not in the recipe",
    "not read": "label not read",
    "not weighed": "unknown: not weighed",
    "not counted": "unknown: not counted",
    "not in the kit": "not in the kit: have it ready",
}


def stands(
    should: Fraction | None,
    does: Fraction | None,
    allowed: Fraction | None = Fraction(0),
    more: Standing = Standing.FINE,
) -> Standing:
    """How a later figure stands to an earlier one, with what it may be less."""
    if should is None or does is None or (does < should and allowed is None):
        return Standing.UNKNOWN
    if does >= should:
        return Standing.FINE if does == should else more
    lacks = should - does
    return Standing.FINE if lacks <= allowed else Standing.FAR_SHORT if 0 < 2 * allowed < lacks else Standing.SHORT


@dataclass(frozen=True)
class Allowance:
    """By how much one pack may hold less than its label says.

    Attributes
    ----------
    amount : Fraction or None
        In the label's own unit [g or mL]; None where no row is on file.
    unit : {'g', 'mL'}
    source : str
        With how it was checked.
    """

    amount: Fraction | None
    unit: str
    source: str


def allowance(nominal: Amount, market: str = "EU", folder: Path | str | None = None) -> Allowance:
    """By how much one pack may hold less than its label says: ask a qualified person before relying on it.

    EU: Directive 76/211/EEC, Annex I, 2.4 (from 5 g or mL to 10 kg or L). US: NIST Handbook 133, Table 2-5, by weight
    (up to 489 g, from memory); its table by volume is not on file.

    Parameters
    ----------
    nominal : Amount
        What the label says.
    market : {'EU', 'US'}
    folder : path, optional
        A folder with tables of the same names and columns; the workbook's own unless given.

    Returns
    -------
    Allowance
        On the boundary of two rows the smaller of them holds.

    Raises
    ------
    QuantityError
        If the amount counts pieces.
    UnknownNameError
        If the market is neither.
    """
    title, spans, column = look_up(market, TABLES, f'"{market}" is no market with allowances on file')
    if nominal.basis == "pieces":
        raise QuantityError(f'"{nominal.text}" counts pieces; an allowance is for a mass or a volume')
    if market == "US" and nominal.basis == "volume":
        row = next((r for r in reference.rows(title, folder) if _span(r[spans]) is None), None)
        return Allowance(None, "mL", f"{row['source']} (not on file)" if row else "no row by volume on file")
    found = []
    for row in reference.rows(title, folder):
        span = _span(row[spans])
        figure = re.match(r"\s*(\d+(?:\.\d+)?)\s*(%?)", row[column])
        if span and figure and span[0] <= nominal.exact <= span[1]:
            value = Fraction(figure[1])
            found.append((nominal.exact * value / 100 if figure[2] else value, f"{row['source']} ({row['checked']})"))
    if not found:
        return Allowance(None, nominal.unit, f"none on file for a pack of {nominal.value:g} {nominal.unit}")
    amount, source = min(found)
    return Allowance(amount, nominal.unit, source)


def _span(text: str) -> tuple[Fraction, Fraction] | None:
    if below := re.match(r"<\s*(\d+(?:\.\d+)?)", text):
        return Fraction(0), Fraction(below[1])
    between = re.match(r"(\d+(?:\.\d+)?)\s*[-–]\s*(\d+(?:\.\d+)?)", text)
    return (Fraction(between[1]), Fraction(between[2])) if between else None
