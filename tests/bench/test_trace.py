"""Trace: lot → batches → units → places and back. Expected values: the invented scenario's own counts (lot
N-0417 → batches R2-07, R2-08 and R3-03 → 33 units: 19 in rooms, 9 on the shelf, 5 gifts), and brute force on
random records.
"""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit import cli
from maker_kit.bench.letters import recall_letter
from maker_kit.bench.log.opening import open_log
from maker_kit.bench.trace import NOT_HANDED_OUT, trace
from maker_kit.errors import UnknownNameError
from maker_kit.workbook.shown.bench.trace import trace_sheet

MADE = {"recipe": "r", "version": "v", "made_on": "2026-11-02"}
PLACES = [("rooms", "own use", 19), ("shelf", "sale", 9), ("gifts", "gift", 5)]


@pytest.fixture
def log(tmp_path: Path):
    with open_log(tmp_path, make=True) as made:
        made.add("lot", code="N-0417", item="Propanediol")
        made.add("lot", code="N-0500", item="Glycerin")
        left = iter([(p, use) for p, use, n in PLACES for _ in range(n)])
        for number, count in (("R2-07", 12), ("R2-08", 9), ("R3-03", 12), ("R5-01", 3)):
            made.add("batch", number=number, containers=count, **MADE)
            lot = "N-0500" if number == "R5-01" else "N-0417"
            made.add("weighing", batch=number, lot=lot, item=lot, mass_mg=40_000)
            made.add("weighing", batch=number, item="Water", mass_mg=700_000)
            for k in range(1, count + 1):
                unit = made.add("unit", batch=number, code=f"{number}/{k}")
                if number != "R5-01":
                    place, use = next(left)
                    made.add("gone", unit=unit, place=place, use=use, gone_on="2026-11-05")
        yield made


def test_a_lot_is_followed_to_every_unit_and_place(log) -> None:
    found = trace(log, "n-0417")
    assert (found.kind, found.asked) == ("lot", "N-0417")
    assert found.batches == ("R2-07", "R2-08", "R3-03")
    assert len(found.units) == 33
    assert found.places == {"rooms": 19, "shelf": 9, "gifts": 5}
    assert found.unnumbered == 0
    assert {row.mass_g for row in found.rows} == {40.0}
    assert len(found.to_frame()) == 33


def test_and_back_from_a_place_a_unit_and_a_batch(log) -> None:
    gifts = trace(log, "gifts")
    assert (gifts.kind, len(gifts.units), gifts.batches) == ("place", 5, ("R3-03",))
    assert gifts.lots == ("N-0417",)
    unit = trace(log, "R2-08/4")
    assert (unit.kind, unit.units, unit.lots, unit.batches) == ("unit", ("R2-08/4",), ("N-0417",), ("R2-08",))
    assert {row.item for row in unit.rows} == {"N-0417", "Water"}  # what has no lot is told too
    batch = trace(log, "R5-01")
    assert batch.places == {NOT_HANDED_OUT: 3}


def test_a_unit_that_moved_is_where_it_went_last(log) -> None:
    log.add("gone", unit="R2-07/1", place="shelf", use="back", gone_on="2026-11-09")
    assert trace(log, "N-0417").places == {"rooms": 18, "shelf": 10, "gifts": 5}
    assert "R2-07/1" not in trace(log, "rooms").units


def test_containers_without_numbers_are_counted(log) -> None:
    log.add("batch", number="R2-09", containers=6, **MADE)
    log.add("weighing", batch="R2-09", lot="N-0417", item="Propanediol", mass_mg=1)
    found = trace(log, "N-0417")
    assert (found.numbered, found.containers, found.unnumbered) == (33, 39, 6)
    assert found.batches[-1] == "R2-09"


def test_names_that_nobody_knows_or_several_share(log) -> None:
    with pytest.raises(UnknownNameError, match='did you mean "N-0417"'):
        trace(log, "N-0471")
    log.add("batch", number="gifts", containers=1, **MADE)
    with pytest.raises(UnknownNameError, match="several things"):
        trace(log, "gifts")
    assert trace(log, "gifts", "batch").kind == "batch"


def test_a_corrected_or_withdrawn_move_leaves_the_unit_where_it_went_before(log) -> None:
    first = next(g for g in log.now("gone", place="rooms"))
    again = log.add("gone", unit=first["unit"], place="shelf", use="back", gone_on="2026-11-09")
    log.correct("gone", first["id"], "misread", place="cellar")  # written later, but it was the earlier move
    assert trace(log, "N-0417").places == {"rooms": 18, "shelf": 10, "gifts": 5}
    log.withdraw("gone", again, "it never came back")
    assert trace(log, "N-0417").places == {"rooms": 18, "shelf": 9, "gifts": 5, "cellar": 1}
    assert trace(log, "CELLAR").numbered == 1
    for place, count in trace(log, "N-0417").places.items():
        back = trace(log, place)
        assert (back.numbered, len(back.units)) == (count, count)


def test_thousands_are_shown_in_part_and_saved_whole(log, tmp_path: Path, capsys) -> None:
    rows = log.add_all("batch", [{"number": f"M{k:03d}", "containers": 4, **MADE} for k in range(520)])
    log.add_all("weighing", [{"batch": b, "lot": "N-0500", "item": "Glycerin", "mass_mg": 1} for b in rows])
    units = log.add_all("unit", [{"batch": b, "code": f"M{k:03d}/{u}"} for k, b in enumerate(rows) for u in range(2)])
    log.add_all("gone", [{"unit": u, "place": "fair", "use": "sale", "gone_on": "2026-11-05"} for u in units])
    found = trace(log, "fair")
    assert (found.kind, len(found.batches), found.numbered, found.lots) == ("place", 520, 1040, ("N-0500",))
    assert set(found.units) == {f"M{k:03d}/{u}" for k in range(520) for u in range(2)}
    assert (len(found.to_frame()), len(found.to_frame(7)), len(found.rows)) == (1040, 7, 1040)
    letter = recall_letter(found, "EU", date(2026, 11, 9)).text
    assert all(f"M{k:03d}" in letter for k in range(520))
    assert "fair: 1040 (M000/0, M000/1, " in letter
    assert "… and 740 more of the batches above" in letter  # 300 are named one by one
    assert "… and 840 more" in repr(trace_sheet(found))  # of 200 rows, each another unit
    table = tmp_path / "all.csv"
    assert cli.main(["trace", "fair", "--workshop", str(tmp_path), "--csv", str(table)]) == 0
    said = capsys.readouterr().out
    assert "… and 1000 more; --csv FILE writes all of them" in said
    assert len(said.splitlines()) < 50
    with table.open(encoding="utf-8-sig", newline="") as file:
        assert sorted(r["unit"] for r in csv.DictReader(file)) == sorted(found.units)


def test_what_was_taken_back_leads_nowhere(log) -> None:
    for row in log.now("weighing"):
        if row["item"] == "N-0417":
            log.withdraw("weighing", row["id"], "wrong lot")
    assert trace(log, "N-0417").rows == ()


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 3), st.integers(0, 2)), max_size=14))
def test_forward_and_back_agree_with_a_search_by_hand(tmp_path_factory, facts) -> None:
    # facts: lot a went into batch b, of which one more unit went to place c
    with open_log(tmp_path_factory.mktemp("trace"), make=True) as log:
        for k in range(3):
            log.add("lot", code=f"L{k}", item="x")
        for k in range(4):
            log.add("batch", number=f"B{k}", containers=99, **MADE)
        units: dict[str, tuple[int, int]] = {}
        for k, (a, b, c) in enumerate(facts):
            log.add("weighing", batch=f"B{b}", lot=f"L{a}", item="x", mass_mg=k)
            unit = log.add("unit", batch=f"B{b}", code=f"U{k}")
            log.add("gone", unit=unit, place=f"P{c}", use="gift", gone_on="d")
            units[f"U{k}"] = b, c
        for a in range(3):
            batches = {b for x, b, _ in facts if x == a}
            assert set(trace(log, f"L{a}").units) == {u for u, (b, _) in units.items() if b in batches}
        for c in {c for _, _, c in facts}:
            here = {u for u, (_, p) in units.items() if p == c}
            found = trace(log, f"P{c}")
            assert set(found.units) == here
            assert set(found.lots) == {f"L{x}" for x, b, _ in facts if b in {units[u][0] for u in here}}
