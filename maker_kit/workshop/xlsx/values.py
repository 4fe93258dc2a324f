"""What a cell of a workbook says, as the text that a maker would read there, and what kind of cell it is."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import Any

from maker_kit.workshop.csv.habits import SIGNS
from maker_kit.workshop.csv.typed import DATE, ERROR, MOMENT, NUMBER, TRUTH

_QUOTED = re.compile(r'"[^"]*"|\\.')
_CURRENCY = re.compile(r"\[\$([^\]-]*)(?:-[^\]]*)?\]")


@lru_cache(maxsize=512)
def shown_with(number_format: str) -> str:
    """What a format puts behind a number that changes what it means: ``%``, or a currency; else empty."""
    if "%" in _QUOTED.sub("", _CURRENCY.sub("", number_format)):
        return "%"
    marks = " ".join(_CURRENCY.findall(number_format)) + _CURRENCY.sub("", number_format)
    for letters, sign in SIGNS.items():
        if letters in marks or sign in marks:
            return letters
    return ""


def cell_says(value: Any, data_type: str, number_format: str) -> tuple[str, str]:
    """Text and kind of a cell; the kind is empty for text.

    Parameters
    ----------
    value : object
        As openpyxl gives it.
    data_type : str
        ``n``, ``s``, ``b``, ``d``, ``e``.
    number_format : str
        As ``0.0%``; a percentage is read as it is shown, a hundred times what is kept.
    """
    if value is None:
        return "", ""
    if data_type == "e":
        return str(value), ERROR
    if isinstance(value, bool):
        return ("TRUE" if value else "FALSE"), TRUTH
    if isinstance(value, datetime):
        return (value.date().isoformat() if value.time() == time() else value.isoformat(" ", "minutes")), DATE
    if isinstance(value, date):
        return value.isoformat(), DATE
    if isinstance(value, time | timedelta):
        return str(value), MOMENT
    if isinstance(value, int | float):
        return _number(value, number_format), NUMBER
    return str(value), ""


def _number(value: float, number_format: str) -> str:
    """A number as spreadsheets show all that they know of it: 15 digits, in plain digits where it can be."""
    number, behind = Decimal(f"{value:.15g}"), shown_with(number_format)
    if not number.is_finite():
        return str(value)
    if behind == "%":
        number *= 100
    text = f"{number:f}" if -12 < number.adjusted() < 15 else f"{number.normalize():e}"
    if "." in text and "e" not in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text}{behind}" if behind == "%" else f"{text} {behind}".strip()
