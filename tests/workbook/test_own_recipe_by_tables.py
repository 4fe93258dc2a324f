"""A recipe of one's own from tables to a report, with a spreadsheet program and four commands, timed."""

from __future__ import annotations

import csv
import json
import sys
from pathlib import Path

import pytest
from maker_clock import MOST_S, Clock

from maker_kit import cli

LINES = (
    ("A", "Shea butter", "40"),
    ("A", "Sunflower oil", "59.5"),
    ("B", "Scent 2", "0.5"),
)
PACKS = (
    ("Corner shop", "Shea butter", "500 g", "9.80"),
    ("Corner shop", "Sunflower oil", "1 L", "5.20"),
    ("Corner shop", "Scent 2", "30 mL", "6.40"),
    ("Corner shop", "60 mL tin", "10 pieces", "7.90"),
    ("Corner shop", "Label", "24 pieces", "3.60"),
)
ABOUT = {
    "name": "my-balm",
    "title": "My balm",
    "where it goes": "hands",
    "rinse-off or leave-on": "leave-on",
    "container": "60 mL tin",
    "fill": "50 g",
    "density [g/mL]": "0.92",
    "scent": "Scent 2",
}


def add_rows(path: Path, *rows: dict[str, str], without: set[str] = frozenset()) -> None:
    """Put rows under a table's headings; rows whose item is among `without` go. With Python's csv alone."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        reader = csv.DictReader(file)
        kept = [row for row in reader if row.get("item") not in without]
        heads = reader.fieldnames
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, heads, restval="")
        writer.writeheader()
        writer.writerows([*kept, *rows])


def typed(*rows: dict[str, str]) -> str:
    """Everything that is typed into some rows."""
    return " ".join(cell for row in rows for cell in row.values())


def test_from_tables_to_the_report_in_six_minutes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    clock, mine = Clock(), tmp_path / "mine"

    def run(*verb: str, ends: int = 0) -> str:
        capfd.readouterr()

        def call() -> None:
            assert cli.main(list(verb)) == ends

        clock.step(f"maker-kit {verb[0]}", call, typed="maker-kit " + " ".join(verb))
        said = capfd.readouterr().out
        clock.step("read what it says", lambda: None, read=said)
        return said

    run("new", "mine")
    lines = [dict(zip(("phase", "ingredient", "percent"), line, strict=True)) for line in LINES]
    heads = "phase ingredient percent balance"

    def recipe() -> None:
        add_rows(mine / "recipes.csv", ABOUT)
        path = mine / "recipes" / "my-balm.csv"
        path.write_text(",".join(heads.split()) + "\n", encoding="utf-8")
        add_rows(path, *lines)

    clock.step("its row and its lines", recipe, typed=heads + typed(ABOUT, *lines), clicks=6)
    packs = [dict(zip(("supplier", "item", "size", "price"), pack, strict=True)) for pack in PACKS]
    seller, carried = {"supplier": "Corner shop"}, {"supplier": "Corner shop", "price": "4.90"}

    def prices() -> None:
        add_rows(mine / "packs.csv", *packs, without={item for _, item, *_ in PACKS})
        add_rows(mine / "suppliers.csv", seller)
        add_rows(mine / "delivery.csv", carried)

    clock.step("my packs, for the invented ones", prices, typed=typed(seller, carried, *packs), clicks=6 + len(packs))
    assert "no fault found" in run("check", "mine")
    assert run("judge", "my-balm", "--workshop", "mine").startswith("My balm: nothing stops this recipe")
    run("report", "my-balm", "--workshop", "mine", "--to", "reports")
    sys.stdout.write(f"\n{clock}\n")
    assert clock.total_s < MOST_S, str(clock)
    page = (tmp_path / "reports" / "my-balm.html").read_text(encoding="utf-8")
    assert "in this list are invented" not in page
    # 12 × 50 g with 2 % loss are 612 g: 244.8 g of shea butter, 364.14 g of oil, 3.06 g of scent; one pack of each,
    # two packs of 10 tins, one of labels, one delivery: 9.80 + 5.20 + 6.40 + 15.80 + 3.60 + 4.90
    numbers = json.loads((tmp_path / "reports" / "my-balm.json").read_text(encoding="utf-8"))
    assert "45.70" in page
    assert numbers["recipe"] == "my-balm"
