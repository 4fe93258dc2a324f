"""Changing one thing in a copy of the demo workshop, with the csv module of Python and nothing of ours."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from maker_kit.errors import Fault, WorkshopError
from maker_kit.workshop import load_workshop

DATA = Path(__file__).resolve().parents[2] / "data"


def read_rows(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file))


def write_rows(path: Path, rows: list[list[str]], delimiter: str = ",") -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=delimiter).writerows(rows)


def row_of(folder: Path, file: str, **cells: str) -> int:
    """The spreadsheet's number of the first row that holds these texts (heading given with _ for a blank)."""
    rows = read_rows(folder / file)
    for number, row in enumerate(rows[1:], start=2):
        held = dict(zip(rows[0], row, strict=True))
        if all(held[heading.replace("_", " ")] == text for heading, text in cells.items()):
            return number
    raise AssertionError(cells)


def change(folder: Path, file: str, row: int, heading: str, text: str) -> None:
    """Put a text into one cell."""
    rows = read_rows(folder / file)
    rows[row - 1][rows[0].index(heading)] = text
    write_rows(folder / file, rows)


def append(folder: Path, file: str, **cells: str) -> int:
    """Add a row; the other cells stay blank. Its number is returned."""
    rows = read_rows(folder / file)
    named = {heading.replace("_", " "): text for heading, text in cells.items()}
    assert set(named) <= set(rows[0]), set(named) - set(rows[0])
    rows.append([named.get(heading, "") for heading in rows[0]])
    write_rows(folder / file, rows)
    return len(rows)


def append_cells(folder: Path, file: str, cells: dict[str, str]) -> int:
    """As `append`, for headings that are no Python names."""
    return append(folder, file, **cells)


def delete(folder: Path, file: str, row: int) -> None:
    """Take a row out."""
    rows = read_rows(folder / file)
    del rows[row - 1]
    write_rows(folder / file, rows)


def faults(folder: Path) -> tuple[Fault, ...]:
    """All faults of a workshop that has some."""
    with pytest.raises(WorkshopError) as caught:
        load_workshop(folder)
    assert caught.value.faults
    for fault in caught.value.faults:
        assert fault.sentence() in str(caught.value)
        assert fault.file
        assert fault.found
        assert fault.allowed
        assert fault.mend
    return caught.value.faults


def only_fault(folder: Path) -> Fault:
    """The one fault of a workshop that has one."""
    found = faults(folder)
    assert len(found) == 1, "\n".join(f.sentence() for f in found)
    return found[0]
