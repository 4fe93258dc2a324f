"""The same workshop as other programs save it."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from workshop_files import DATA, read_rows

from maker_kit.workshop import Workshop, load_workshop, write_table

NUMBER = re.compile(r"-?[0-9]+\.[0-9]+")
AMOUNT = re.compile(r"-?[0-9]+\.[0-9]+ (g|kg|mL|oz|fl oz)")


def save(
    path: Path,
    rows: list[list[str]],
    *,
    delimiter: str,
    comma: bool,
    bom: bool,
    line_end: str,
    quote_all: bool,
    empty_columns: int = 0,
    blank_rows: int = 0,
) -> None:
    text = io.StringIO(newline="")
    writer = csv.writer(
        text, delimiter=delimiter, lineterminator=line_end, quoting=csv.QUOTE_ALL if quote_all else csv.QUOTE_MINIMAL
    )
    for row in rows:
        cells = [
            cell.replace(".", ",") if comma and (NUMBER.fullmatch(cell) or AMOUNT.fullmatch(cell)) else cell
            for cell in row
        ]
        writer.writerow([*cells, *[""] * empty_columns])
    for _ in range(blank_rows):
        writer.writerow([""] * (len(rows[0]) + empty_columns))
    path.write_bytes((b"\xef\xbb\xbf" if bom else b"") + text.getvalue().encode("utf-8"))


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return load_workshop(DATA)


@pytest.mark.parametrize(
    "how",
    [
        {"delimiter": ";", "comma": True, "bom": True, "line_end": "\r\n", "quote_all": False},
        {"delimiter": ";", "comma": True, "bom": False, "line_end": "\n", "quote_all": True, "empty_columns": 3},
        {"delimiter": ";", "comma": False, "bom": True, "line_end": "\n", "quote_all": False, "blank_rows": 4},
        {
            "delimiter": ",",
            "comma": False,
            "bom": True,
            "line_end": "\r\n",
            "quote_all": True,
            "empty_columns": 1,
            "blank_rows": 2,
        },
        {"delimiter": ",", "comma": False, "bom": False, "line_end": "\r", "quote_all": False},
    ],
    ids=[
        "semicolons, commas, BOM, CRLF",
        "all quoted, empty columns",
        "semicolons and points",
        "commas, BOM, quoted",
        "old line ends",
    ],
)
def test_every_dress_loads_to_the_same_workshop(folder: Path, demo: Workshop, how: dict) -> None:
    for path in sorted(folder.rglob("*.csv")):
        save(path, read_rows(path), **how)
    assert replace(load_workshop(folder), folder=demo.folder) == demo


def test_our_own_writing_loads_to_the_same_workshop(folder: Path, demo: Workshop) -> None:
    for path in sorted(folder.rglob("*.csv")):
        write_table(path, read_rows(path))
    assert replace(load_workshop(folder), folder=demo.folder) == demo


def test_columns_in_another_order_load_to_the_same_workshop(folder: Path, demo: Workshop) -> None:
    for path in sorted(folder.rglob("*.csv")):
        write_table(path, [row[::-1] for row in read_rows(path)])
    assert replace(load_workshop(folder), folder=demo.folder) == demo


def test_columns_that_are_never_filled_may_be_left_out(folder: Path, demo: Workshop) -> None:
    for path in sorted(folder.rglob("*.csv")):
        rows = read_rows(path)
        kept = [i for i in range(len(rows[0])) if len(rows) == 1 or any(row[i] for row in rows[1:])]
        write_table(path, [[row[i] for i in kept] for row in rows])
    assert replace(load_workshop(folder), folder=demo.folder) == demo
