"""Tables that are kept as they were read: what a maker changes is seen at once, and nobody's faults are another's."""

from __future__ import annotations

from pathlib import Path

import pytest
from workshop_files import change, row_of

from maker_kit.errors import WorkshopError
from maker_kit.workshop import load_workshop
from maker_kit.workshop.csv import reading, rows
from maker_kit.workshop.csv.reading import table_from_bytes


def test_a_changed_cell_is_seen_and_one_changed_back_too(folder: Path) -> None:
    before = load_workshop(folder)
    row = row_of(folder, "ingredients.csv", name="Glycerin")
    change(folder, "ingredients.csv", row, "density [g/mL]", "1.251")
    assert load_workshop(folder).ingredients["Glycerin"].density_g_per_ml == 1.251
    change(folder, "ingredients.csv", row, "density [g/mL]", f"{before.ingredients['Glycerin'].density_g_per_ml}")
    assert load_workshop(folder) == before


def test_a_table_with_faults_tells_them_every_time_it_is_read(folder: Path) -> None:
    change(folder, "packs.csv", 2, "price", "much")
    change(folder, "ingredients.csv", 2, "function", "preservatve")
    told = []
    for _ in range(3):
        with pytest.raises(WorkshopError) as caught:
            load_workshop(folder)
        told.append([(f.file, f.row, f.column, f.meant, f.known) for f in caught.value.faults])
    assert told[0] == told[1] == told[2]
    assert [at[:2] for at in told[0]] == [("ingredients.csv", 2), ("packs.csv", 2)]


def test_so_many_are_kept_and_no_more() -> None:
    for number in range(2 * reading.MOST_KEPT):
        table_from_bytes(b"a,b\n1,%d\n" % number, "x.csv")
    assert reading._kept.cache_info().currsize == reading.MOST_KEPT
    before = reading._kept.cache_info()
    table_from_bytes(b"a,b\n" + b"1,2\n" * reading.LARGEST_KEPT, "x.csv")
    assert reading._kept.cache_info() == before
    assert rows._kept.cache_info().maxsize == rows.MOST_KEPT
