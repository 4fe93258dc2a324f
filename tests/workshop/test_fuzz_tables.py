"""Whatever stands in the files, the answer is a workshop or a WorkshopError. Seeded, so that finds come again."""

from __future__ import annotations

import contextlib
import random
from pathlib import Path

import pytest
from workshop_files import DATA, read_rows, write_rows

from maker_kit.errors import WorkshopError
from maker_kit.workshop import load_workshop
from maker_kit.workshop.csv.reading import table_from_bytes
from maker_kit.workshop.csv.tables import TABLES

FILES = sorted(p.relative_to(DATA).as_posix() for p in DATA.rglob("*.csv"))
ODD = [
    "",
    " ",
    "-1",
    "0",
    "1e99",
    "-0",
    "nan",
    "inf",
    "1e-99",
    "9" * 30,
    "0.0000000001",
    "1,5",
    "1.234,5",
    "½",
    "1/0",
    "1 1/0 g",
    "5 oz",
    "1 gal",
    "999999 kg",
    "0.01 g",
    "-3 g",
    "∞",
    "=1+1",
    "<b>x</b>",
    "'",
    '"',
    ";",
    "a;a",
    "Water",
    "water",
    "WATER ",
    "Label",
    "yes",
    "no",
    "maybe",
    "2026-02-30",
    "1.1.2026",
    "sure",
    "0.005 sure",
    "\u202e",
    "\ud7ff",
    "İ",
    "ß",
    "é",
    "e\u0301",
    "x" * 200,
    "x" * 9000,
    "../../etc",
    ".",
    "r4-balm",
    "all",
    "5A",
    "100",
    "100.0001",
    "True",
    "1_000",
    "٣",
    "1e5 pieces",
    "2.5 pieces",
    "24 pieces",
]


def outcome(folder: Path) -> str:
    try:
        load_workshop(folder)
    except WorkshopError as error:
        told = error.faults
    else:
        return "loaded"
    assert told
    assert all(f.sentence() for f in told)
    return "faults"


@pytest.mark.parametrize("seed", range(4))
def test_odd_cells_load_or_are_told(folder: Path, seed: int) -> None:
    chance = random.Random(seed)
    seen = set()
    for _ in range(40):
        file = chance.choice(FILES)
        rows = read_rows(DATA / file)
        for _ in range(chance.randint(1, 3)):
            row = rows[chance.randrange(len(rows))]
            row[chance.randrange(len(row))] = chance.choice(ODD)
        write_rows(folder / file, rows)
        seen.add(outcome(folder))
        if chance.random() < 0.7:
            (folder / file).write_bytes((DATA / file).read_bytes())
    assert "faults" in seen


@pytest.mark.parametrize("seed", range(4))
def test_damaged_bytes_load_or_are_told(folder: Path, seed: int) -> None:
    chance = random.Random(100 + seed)
    for _ in range(40):
        file = chance.choice(FILES)
        raw = bytearray((DATA / file).read_bytes())
        match chance.randrange(5):
            case 0:
                raw = raw[: chance.randrange(len(raw))]
            case 1:
                for _ in range(chance.randint(1, 20)):
                    raw[chance.randrange(len(raw))] = chance.randrange(256)
            case 2:
                at = chance.randrange(len(raw))
                raw[at:at] = bytes(chance.choice(b'",;\n\r\0=') for _ in range(chance.randint(1, 5)))
            case 3:
                a, b = sorted(chance.randrange(len(raw)) for _ in range(2))
                del raw[a:b]
            case _:
                a, b = sorted(chance.randrange(len(raw)) for _ in range(2))
                raw += raw[a:b]
        (folder / file).write_bytes(raw)
        outcome(folder)
        (folder / file).write_bytes((DATA / file).read_bytes())


@pytest.mark.parametrize("seed", range(2))
def test_random_bytes_are_a_table_or_told(seed: int) -> None:
    chance = random.Random(200 + seed)
    for _ in range(500):
        raw = (
            bytes(chance.choice(b'",;\n\r\t\0 =ab1\xc3\xa9\xff') for _ in range(chance.randrange(60)))
            if chance.random() < 0.7
            else chance.randbytes(chance.randrange(80))
        )
        with contextlib.suppress(WorkshopError):
            table = table_from_bytes(raw, "t.csv")
            assert all(len(cells) == len(table.header) for _, cells in table.rows)


@pytest.mark.parametrize(
    "file",
    [
        "recipes.csv",
        "packs.csv",
        "ingredients.csv",
        "recipes/r2-gel-cream.csv",
        "recipes/r2-gel-cream.steps.csv",
        "kits.csv",
        "certificates.csv",
    ],
)
def test_a_file_cut_off_inside_a_row_never_passes(folder: Path, file: str) -> None:
    raw = (DATA / file).read_bytes()
    for at in range(len(raw) // 2, len(raw) // 2 + 60, 7):
        if raw[:at].endswith(b"\n") or b"," not in raw[at:].split(b"\r\n")[0]:
            continue  # cut between two rows, or in the last cell of one
        (folder / file).write_bytes(raw[:at])
        with pytest.raises(WorkshopError):
            load_workshop(folder)


def test_every_table_is_fuzzed() -> None:
    assert {spec.file for spec in TABLES} <= set(FILES)
