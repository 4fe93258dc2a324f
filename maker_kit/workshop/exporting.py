"""Any table of any result as CSV, for a spreadsheet program or another person."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pandas as pd

from maker_kit.errors import NoticeError
from maker_kit.workshop.csv.writing import write_table
from maker_kit.workshop.making import without_tilde


def export_table(result: Any, path: str | Path, *, replace: bool = False) -> Path:
    """Write a result's table as comma-separated text.

    Text that a spreadsheet program would run is guarded, and what is not known is left blank; see `write_table`.

    Parameters
    ----------
    result : object with ``to_frame()``, or DataFrame
    path : str or Path
        File to write, ending in ``.csv``, in a folder that is there.
    replace : bool
        Whether a file of that name may be replaced; otherwise nothing is ever overwritten.

    Returns
    -------
    Path

    Raises
    ------
    NoticeError
        If the result has no table, the name is none for a table, the file is there already, or it cannot be written.
    """
    frame = result
    if not isinstance(result, pd.DataFrame | type) and callable(getattr(result, "to_frame", None)):
        frame = result.to_frame()
    if not isinstance(frame, pd.DataFrame):
        raise NoticeError(
            f"there is no table in a {type(result).__name__}; export a result that has one, or a table itself"
        )
    target = without_tilde(path)
    try:
        if target.suffix.casefold() != ".csv":
            raise NoticeError(f'"{target}" is no name for a table; end it in .csv')
        if target.is_dir():
            raise NoticeError(f"{target} is a folder; name a file")
        if not replace and (target.exists() or target.is_symlink()):
            raise NoticeError(f"{target} is there already, and nothing is overwritten; choose another name")
    except (OSError, ValueError) as error:
        raise NoticeError(
            f"{str(target)!r} cannot be a file: {getattr(error, 'strerror', None) or error}; choose another name"
        ) from error
    if any(name is not None for name in frame.index.names):
        frame = frame.reset_index()
    rows = ([_cell(cell) for cell in row] for row in frame.itertuples(index=False, name=None))
    return write_table(target, [[str(c) for c in frame.columns], *rows])


def _cell(cell: Any) -> Any:
    """A cell without what pandas and numpy put around it; blank where nothing is known."""
    if isinstance(cell, list | tuple | set | frozenset):
        return [_cell(c) for c in cell]
    if hasattr(cell, "item") and not isinstance(cell, str):
        cell = cell.item()
    missing = pd.isna(cell)
    return None if isinstance(missing, bool) and missing else cell
