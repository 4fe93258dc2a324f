"""Reading a day from a cell; one that may be either of two is asked about."""

from __future__ import annotations

import re
from datetime import date

from maker_kit.workshop.csv.columns import Column
from maker_kit.workshop.csv.faults import CellError
from maker_kit.workshop.csv.habits import DATE_ORDERS, stroke_days

_DATE = re.compile(r"(?P<y>[0-9]{4})-(?P<m>[0-9]{1,2})-(?P<d>[0-9]{1,2})")
_DOTTED = re.compile(r"(?P<d>[0-9]{1,2})\.\s?(?P<m>[0-9]{1,2})\.\s?(?P<y>[0-9]{4})")


def days_meant(text: str, order: str = "") -> tuple[date, ...] | None:
    """The days that a text may mean: none where there is no such day, None where it is written in no known way.

    Parameters
    ----------
    text : str
        ``2027-03-31``, ``31.3.2027``, ``31/3/2027``.
    order : str
        Of day and month in a date with strokes: ``day first``, ``month first``, or empty where that is not said.
    """
    if (days := stroke_days(text, order)) is not None:
        return days
    found = _DATE.fullmatch(text) or _DOTTED.fullmatch(text)
    if not found:
        return None
    try:
        return (date(*(int(found[part]) for part in "ymd")),)
    except ValueError:
        return ()


def read_date(text: str, column: Column, order: str) -> date:
    """The day that a cell names, by the workshop's order of day and month for dates with strokes.

    Raises
    ------
    CellError
        If it is no day, or may be one of two.
    """
    days = days_meant(text, order)
    if days is None:
        raise CellError(
            column.allows(), "write year-month-day: with strokes, day and month could be taken for each other"
        )
    if not days:
        strokes = stroke_days(text, order) is not None
        more = f", or the setting 'date order' ({' or '.join(DATE_ORDERS)})" if strokes else ""
        raise CellError(column.allows(), f"there is no such day: correct it{more}")
    if len(days) > 1:
        both = " or ".join(f"{day.day} {day:%B} ({day.isoformat()})" for day in days)
        raise CellError(
            allowed=f"{column.allows()}, which can be read in one way",
            mend=f"with strokes, day and month could be taken for each other, {both}: write it as in brackets, or add "
            f"the setting 'date order' ({' or '.join(DATE_ORDERS)}) to workshop.csv",
        )
    return days[0]
