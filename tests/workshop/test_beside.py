"""A second copy of a table, or the same in a spreadsheet's own format, beside the tables: it is never passed over."""

from __future__ import annotations

from pathlib import Path

import pytest
from workshop_files import DATA

from maker_kit.errors import WorkshopError
from maker_kit.plan.plan import make_plan
from maker_kit.workshop import load_workshop, new_workshop
from maker_kit.workshop.beside import copy_of

TABLES = {p.name for p in DATA.glob("*.csv")}
COPIES = (
    "packs (1).csv",
    "packs (12).csv",
    "packs.csv.csv",
    "Copy of packs.csv",
    "packs - Copy.csv",
    "packs - Copy (2).csv",
    "packs copy.csv",
    "packs_2.csv",
    "packs-old.csv",
    "Kopie von packs.csv",
    "PACKS.CSV.txt",
)


@pytest.mark.parametrize("name", COPIES)
def test_a_second_copy_is_a_fault_that_asks_which_is_meant(tmp_path: Path, name: str) -> None:
    folder = new_workshop(tmp_path / "mine")
    (folder / name).write_bytes((folder / "packs.csv").read_bytes())
    with pytest.raises(WorkshopError) as caught:
        load_workshop(folder)
    (fault,) = caught.value.faults
    assert fault.file == name
    assert "packs.csv" in fault.mend
    assert "newer" in fault.mend


@pytest.mark.parametrize("name", ["packs.xlsx", "packs.ods", "packs (1).xlsx", "packs.csv.xlsx", "packs.xls"])
def test_a_spreadsheet_beside_its_table_is_a_note_in_check_and_in_every_plan(tmp_path: Path, name: str) -> None:
    folder = new_workshop(tmp_path / "mine")
    (folder / name).write_bytes(b"PK\3\4")
    shop = load_workshop(folder)
    assert name in shop.summary().sentence()
    (note,) = (f for f in make_plan(shop, "r4-balm").findings if f.code == "table.not_read")
    assert (note.kind, note.about) == ("look", (name, "packs.csv"))


@pytest.mark.parametrize("name", ["notes.csv", "pack ideas.csv", "backpacks.csv", "packs.bak", "packs.pdf"])
def test_what_is_no_copy_is_let_be(tmp_path: Path, name: str) -> None:
    folder = new_workshop(tmp_path / "mine")
    (folder / name).write_text("x", encoding="utf-8")
    assert load_workshop(folder).beside == ()


def test_no_table_is_a_copy_of_another() -> None:
    assert [copy_of(name, TABLES) for name in TABLES] == [""] * len(TABLES)
    assert [copy_of(name, TABLES - {name}) for name in TABLES] == [""] * len(TABLES)
