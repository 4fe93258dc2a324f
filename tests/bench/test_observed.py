"""Observations in the log and the last pH of a recipe. Expected values: the invented scenario, by hand."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from maker_kit.bench.batches import last_ph
from maker_kit.bench.log import FILE, open_log
from maker_kit.bench.observed import dates_of_lots, observations_of, observe, over_batches, photos_of, read
from maker_kit.bench.version import recipe_version
from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.plan.judged import judge_folder
from maker_kit.plan.log.logged_ph import with_logged_ph, with_own_log
from maker_kit.workbook.bench_book import DEMOS, NONE_YET, BenchBook
from maker_kit.workshop import demo_folder, load_workshop
from maker_kit.workshop.making import copy_tables

SHOP = load_workshop(demo_folder())
ON = date(2026, 11, 2)
VERSION = recipe_version(SHOP.recipe("r2-gel-cream"))
MADE = {"recipe": "r2-gel-cream", "version": VERSION, "made_on": "2026-11-02", "containers": 4}


@pytest.fixture
def log(tmp_path: Path):
    with open_log(tmp_path, make=True) as made:
        for number in ("R2-01", "R2-02"):
            made.add("batch", number=number, **MADE)
        yield made


def test_photos_are_kept_by_day_and_place_and_stand_in_the_twin_by_their_name(log) -> None:
    observe(log, "R2-01", "look", 7, "20 °C", ON, words="same")
    for name in ("day7.jpg", "lid, day 7.jpg"):
        observe(log, "R2-01", "photo", 7, "20 °C", ON, words=name)
    observe(log, "R2-01", "photo", 14, "20 °C", ON, words="day14.jpg")  # a day of which nothing else was written
    assert photos_of(log, "R2-01") == {(7, "20 °C"): ("day7.jpg", "lid, day 7.jpg"), (14, "20 °C"): ("day14.jpg",)}
    assert [o.kind for o in observations_of(log, "R2-01")] == ["look"]
    with (log.path.parent / "bench" / "reading.csv").open(encoding="utf-8", newline="") as twin:
        assert [r["words"] for r in csv.DictReader(twin)] == ["same", "day7.jpg", "lid, day 7.jpg", "day14.jpg"]


@pytest.mark.parametrize(
    ("kind", "value", "words"),
    [
        *(("pH", -0.1, ""), ("pH", 14.1, ""), ("pH", None, ""), ("spread", -1, ""), ("spread", float("nan"), "")),
        *(("look", None, "fine"), ("smell", None, ""), ("photo", None, " "), ("taste", None, "same")),
    ],
)
def test_what_cannot_be_seen_is_refused(log, kind, value, words) -> None:
    with pytest.raises(QuantityError):
        observe(log, "R2-01", kind, 1, "20 °C", ON, value, words)
    assert log.counts()["reading"] == 0


@pytest.mark.parametrize(("kind", "value"), [("pH", 15), ("density", 3.1), ("density", -1), ("pH", None), ("feel", 1)])
def test_what_cannot_be_read_is_refused(log, kind, value) -> None:
    with pytest.raises(QuantityError):
        read(log, "R2-01", kind, value, "2026-11-02 10:00")


def test_the_last_ph_is_of_a_fresh_batch_and_carries_its_tool(log) -> None:
    assert last_ph(log, "r2-gel-cream") is None
    read(log, "R2-01", "pH", 5.7, "2026-11-02 10:00", "strip")
    read(log, "R2-02", "pH", 5.4, "2026-11-09 10:00", "pH meter", 20.0)
    observe(log, "R2-01", "pH", 28, "40 °C", date(2026, 11, 30), 4.9)  # how it keeps, not how it was made
    found = last_ph(log, "r2-gel-cream")
    assert (found.value, found.tool, found.read_at) == (5.4, "pH meter", "2026-11-09 10:00")
    assert "pH meter at 20 °C" in found.told().text
    shop, notes = with_logged_ph(SHOP, log)
    assert shop.recipe("r2-gel-cream").ph_read == 5.4
    assert shop.recipe("r5-hand-lotion") == SHOP.recipe("r5-hand-lotion")
    assert set(notes) == {"r2-gel-cream"}
    assert with_logged_ph(SHOP, None) == (replace(SHOP, recipes=dict(SHOP.recipes)), {})


def test_a_folder_with_a_log_is_judged_at_the_ph_in_it_and_a_spoilt_log_is_told(tmp_path: Path) -> None:
    copy_tables(demo_folder(), tmp_path)
    before = judge_folder(tmp_path, ["r2-gel-cream"])[0]
    assert not before.stopped
    with open_log(tmp_path, make=True) as log:
        log.add("batch", number="R2-01", **MADE)
        read(log, "R2-01", "pH", 9.9, "2026-11-02 10:00", "pH meter")
    after = judge_folder(tmp_path, ["r2-gel-cream"])[0]
    assert "day.ph" in {f.code for f in after.findings}
    assert {f.code for f in after.findings if f.kind != "know"} != {f.code for f in before.findings if f.kind != "know"}
    (tmp_path / FILE).write_bytes(b"not a log at all" * 100)
    assert "day.log_unread" in {f.code for f in judge_folder(tmp_path, ["r2-gel-cream"])[0].findings}
    assert with_own_log(SHOP) == (SHOP, {})


def test_one_reading_over_batches_is_the_first_of_each(log) -> None:
    read(log, "R2-01", "pH", 5.7, "2026-11-02 10:00")
    read(log, "R2-01", "pH", 5.2, "2026-11-02 11:00")
    read(log, "R2-02", "pH", 5.6, "2026-11-03 10:00")
    assert over_batches(log, "r2-gel-cream", "pH") == (("R2-01", "R2-02"), (5.7, 5.6))
    assert over_batches(log, "r2-gel-cream", "spread") == ((), ())


def test_the_dates_of_lots_are_the_earliest_of_each_ingredient(log) -> None:
    for code, until in (("A", "2027-05-01"), ("B", "2027-01-02"), ("C", None)):
        log.add("lot", code=code, item="Glycerin", best_before=until)
        log.add("weighing", batch="R2-01", item="Glycerin", lot=code, mass_mg=10)
    assert dates_of_lots(log, "R2-01") == {"Glycerin": date(2027, 1, 2)}
    with pytest.raises(UnknownNameError):
        dates_of_lots(log, "R9")


def test_the_demos_book_leaves_nothing_behind_and_ones_own_begins_with_the_first_entry(tmp_path: Path) -> None:
    before = sorted(p.name for p in demo_folder().iterdir())
    demo = BenchBook(SHOP)
    place = demo.log.path.parent
    assert (demo.said, place.is_dir()) == (DEMOS, True)
    demo.close()
    assert not place.exists()
    assert sorted(p.name for p in demo_folder().iterdir()) == before
    own = BenchBook(replace(SHOP, folder=tmp_path))
    assert (own.log, own.said) == (None, NONE_YET)
    assert not (tmp_path / FILE).exists()
    own.to_write().add("batch", number="X", **MADE)
    assert (tmp_path / FILE).is_file()
    assert own.said == ""
    own.close()
    assert len(BenchBook(replace(SHOP, folder=tmp_path)).log.now("batch")) == 1
