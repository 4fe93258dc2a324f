"""WHO SAYS SO? Published tables, every row with its source and how it was checked; `sources.csv` lists the titles."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from maker_kit.errors import Fault, WorkshopError

Row = Mapping[str, str]


@cache
def package_folder() -> Path:
    """The folder of the tables that come with the workbook."""
    return Path(__file__).parent


def rows(name: str, folder: Path | str | None = None, columns: tuple[str, ...] = ()) -> tuple[Row, ...]:
    """All rows of one table.

    Parameters
    ----------
    name : str
        File name, such as ``ifra_limits.csv``.
    folder : path, optional
        Where to look first. A table that is not there is read from the workbook's own folder.
    columns : tuple of str
        Columns it must have.

    Returns
    -------
    tuple of Mapping
        One a row: column name to text, without blanks around it. Rows that are empty throughout are left out.

    Raises
    ------
    WorkshopError
        If the file is nowhere, is not UTF-8 text, or lacks a column.
    """
    own = Path(folder) / name if folder is not None else None
    found = _kept(name) if own is None or own.parent == package_folder() or not own.exists() else _read(own)
    if found is None:
        raise WorkshopError(
            [Fault(name, None, "", "no such table", "one of the published tables", f"put {name} into the folder")]
        )
    heading, table = found
    missing = [
        Fault(name, 1, column, "no such column", ", ".join(columns), f"add the column {column}")
        for column in columns
        if column not in heading
    ]
    if missing:
        raise WorkshopError(missing)
    return table


def source_of(row: Row) -> str:
    """Who says a row, with how it was checked where the source does not say that itself."""
    return row["source"] if row["checked"] in row["source"] else f"{row['source']} ({row['checked']})"


def _read(path: Path) -> tuple[tuple[str, ...], tuple[Row, ...]] | None:
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        return None
    except UnicodeDecodeError as error:
        raise WorkshopError(
            [Fault(path.name, None, "", "bytes that are not UTF-8 text", "UTF-8 text", "save the table as CSV UTF-8")]
        ) from error
    reader = csv.DictReader(text.splitlines())
    table = [{k: (v or "").strip() for k, v in row.items() if isinstance(k, str)} for row in reader]
    return tuple(reader.fieldnames or ()), tuple(row for row in table if any(row.values()))


@cache
def _kept(name: str) -> tuple[tuple[str, ...], tuple[Row, ...]] | None:
    return _read(package_folder() / name)
