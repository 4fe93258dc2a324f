"""Records as a table: one row a record, its columns told once, as headings and what stands under each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
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
        Heading to the name of an attribute, or to a function of the record.
    blank : iterable of str
        Columns of numbers that may be unknown, and are blank then.
    whole : iterable of str
        Those of whole numbers that may be.

    Returns
    -------
    pandas.DataFrame
    """
    rows = [[getattr(r, get) if isinstance(get, str) else get(r) for get in columns.values()] for r in records]
    frame = pd.DataFrame(rows, columns=list(columns))
    return frame.astype({**dict.fromkeys(blank, "Float64"), **dict.fromkeys(whole, "Int64")})
