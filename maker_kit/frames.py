"""Records as a table: one row a record, its columns told once, as headings and what stands under each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import Any

import pandas as pd


def frame_of(
    records: Iterable[object],
    columns: Mapping[str, str | Callable[[Any], object]],
    blank: Iterable[str] = (),
    whole: Iterable[str] = (),
) -> pd.DataFrame:
    """The records as a table.

    Parameters
    ----------
    records : iterable
    columns : Mapping of str to str or callable
        Heading to the name of an attribute (``least.percent`` for one of an attribute's own, None where there is
        none), or to a function of the record. A fraction is shown as a decimal number, several names with commas.
    blank : iterable of str
        Columns of numbers that may be unknown, and are blank then.
    whole : iterable of str
        Those of whole numbers that may be.

    Returns
    -------
    pandas.DataFrame
    """
    rows = [[_cell(record, get) for get in columns.values()] for record in records]
    frame = pd.DataFrame(rows, columns=list(columns))
    return frame.astype({**dict.fromkeys(blank, "Float64"), **dict.fromkeys(whole, "Int64")})


def _cell(record: Any, get: str | Callable[[Any], object]) -> object:
    if not isinstance(get, str):
        return get(record)
    for name in get.split("."):
        record = None if record is None else getattr(record, name)
    if isinstance(record, Fraction):
        return float(record)
    return ", ".join(record) if isinstance(record, tuple) else record
