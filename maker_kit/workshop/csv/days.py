"""Reading a day from a cell; one that may be either of two is asked about."""

from __future__ import annotations

import re
from datetime import date

from maker_kit.workshop.csv.columns import Column
from maker_kit.workshop.csv.faults import CellError
from maker_kit.workshop.csv.habits import DATE_ORDERS, stroke_days

_DATE = re.compile(r"(?P<y>[0-9]{4})-(?P<m>[0-9]{1,2})-(?P<d>[0-9]{1,2})")
_DOTTED = re.compile(r"(?P<d>[0-9]{1,2})\.\s?(?P<m>[0-9]{1,2})\.\s?(?P<y>[0-9]{4})")


def read_date(text: str, column: Column, order: str) -> date:
    """The day that a cell names, by the workshop's order of day and month for dates with strokes.

    Raises
    ------
    CellError
        If it is no day, or may be one of two.
    """
    if (days := stroke_days(text, order)) is not None:
        return _stroke_day(days, column)
    found = _DATE.fullmatch(text) or _DOTTED.fullmatch(text)
    if not found:
        raise CellError(
            column.allows(), "write year-month-day: with strokes, day and month could be taken for each other"
        )
    try:
        return date(*(int(found[part]) for part in "ymd"))
    except ValueError as error:
        raise CellError(column.allows(), "there is no such day: correct it") from error


def _stroke_day(days: tuple[date, ...], column: Column) -> date:
    if not days:
        raise CellError(
            column.allows(),
            f"there is no such day: correct it, or the setting 'date order' ({' or '.join(DATE_ORDERS)})",
        )
    if len(days) > 1:
        both = " or ".join(f"{day.day} {day:%B} ({day.isoformat()})" for day in days)
        raise CellError(
            allowed=f"{column.allows()}, which can be read in one way",
            mend=f"this may be {both}: write it as in the brackets, or add the setting 'date order' "
            f"({' or '.join(DATE_ORDERS)}) to workshop.csv",
        )
    return days[0]
