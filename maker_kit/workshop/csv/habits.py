"""How numbers, dates, weights and prices are written in a workshop: a setting each, and what cells mean by it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

SIGNS = {"EUR": "€", "USD": "$", "GBP": "£"}
"""Currencies by their three letters (ISO 4217), with the sign that stands for each."""
DAY_FIRST, MONTH_FIRST = "day first", "month first"
DATE_ORDERS = (DAY_FIRST, MONTH_FIRST)
POINT, COMMA = "point", "comma"
DECIMAL_MARKS = (POINT, COMMA)
WEIGHTS = ("g", "oz")
_STROKES = re.compile(r"(?P<one>[0-9]{1,2})\s?/\s?(?P<two>[0-9]{1,2})\s?/\s?(?P<year>[0-9]{4})")
_NO_NUMBER = re.compile(r"[^0-9.,\s+-]")
_BARE_OZ = re.compile(r"(?i)(?<=[0-9¼½¾⅓⅔⅛⅜⅝⅞\s])(oz|ounces?)\.?$")


@dataclass(frozen=True)
class Habits:
    """How cells are typed in one workshop; empty where its settings do not say.

    Attributes
    ----------
    currency : str
        Three letters; a price may carry them, or the sign, and no other.
    decimal_mark : str
        ``point`` or ``comma``.
    date_order : str
        ``day first`` or ``month first``, for dates with strokes.
    weights_in : str
        ``oz`` where a plain "oz" in the maker's own amounts is an ounce of weight; else it is asked about.
    """

    currency: str = ""
    decimal_mark: str = ""
    date_order: str = ""
    weights_in: str = ""

    def without_currency(self, text: str) -> str:
        """A price without the currency that stands before or behind it; another currency stays, so that it is seen."""
        if not _NO_NUMBER.search(text):
            return text
        for word in filter(None, (self.currency, SIGNS.get(self.currency, ""))):
            plain = re.sub(rf"(?i)^\s*{re.escape(word)}\s*(?=[0-9.,+-])|(?<=[0-9.,])\s*{re.escape(word)}\s*$", "", text)
            if plain != text:
                return plain
        return text

    def other_currency(self, text: str) -> str:
        """The currency that a price carries and the workshop does not count in; empty where there is none."""
        for letters, sign in SIGNS.items() if _NO_NUMBER.search(text) else ():
            if letters != self.currency and re.search(rf"(?i)(?<![a-z]){letters}(?![a-z])|{re.escape(sign)}", text):
                return letters
        return ""

    def ounces(self, text: str) -> str:
        """An amount whose plain "oz" is said to be one of weight, where the workshop weighs in ounces."""
        return _BARE_OZ.sub("oz wt", text) if self.weights_in == "oz" and "fl" not in text.casefold() else text


def stroke_days(text: str, order: str) -> tuple[date, ...] | None:
    """The days that a date with strokes may be, by the order of day and month; both where neither is said.

    Parameters
    ----------
    text : str
        ``03/04/2026``.
    order : str
        ``day first``, ``month first`` or empty.

    Returns
    -------
    tuple of date or None
        Each possible day once; empty where there is no such day, None where the text is no date with strokes.
    """
    found = _STROKES.fullmatch(text.strip())
    if not found:
        return None
    one, two, year = int(found["one"]), int(found["two"]), int(found["year"])
    readings: dict[str, Callable[[], date]] = {
        DAY_FIRST: lambda: date(year, two, one),
        MONTH_FIRST: lambda: date(year, one, two),
    }
    days: dict[date, None] = {}
    for name, read in readings.items():
        if order in ("", name):
            try:
                days[read()] = None
            except ValueError:
                continue
    return tuple(days)
