"""The bench log: what was confirmed stays, whatever happens. Expected values: counted by hand; pages and links by
SQLite's own checks.
"""

from __future__ import annotations

import contextlib
import csv
import json
import multiprocessing
import os
import shutil
import sqlite3
import subprocess
import sys
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from demo_workshop import demo
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.bench.log import book, mending, opening
from maker_kit.bench.log.book import BenchLog
from maker_kit.bench.log.mending import look_over, mend_log, twin_differs, where_it_stands
from maker_kit.bench.log.opening import FILE, open_log
from maker_kit.bench.log.refused import DamagedLogError
from maker_kit.bench.log.schema import APPLICATION_ID, TABLES
from maker_kit.errors import MakerKitError, NoticeError, QuantityError, UnknownNameError
from maker_kit.workbook.bench_book import BenchBook

FORK = multiprocessing.get_context("fork") if "fork" in multiprocessing.get_all_start_methods() else None
KILLED = Path(__file__).with_name("killed.py")
BATCH = {"number": "R2-07", "recipe": "r2", "version": "0a1b", "containers": 4, "made_on": "2026-11-02"}


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log without an entry, to be copied: to make one anew takes six times as long."""
    folder = tmp_path_factory.mktemp("empty")
    open_log(folder, make=True).close()
    return folder


@pytest.fixture
def log(empty: Path, tmp_path: Path):
    shutil.copytree(empty, tmp_path, dirs_exist_ok=True)
    with open_log(tmp_path) as made:
        yield made


@pytest.fixture
def begun(log: BenchLog) -> BenchLog:
    log.add("lot", code="N-0417", item="Propanediol", scale_mg=83_400)
    log.add("batch", **BATCH)
    log.add("weighing", batch="R2-07", lot="N-0417", item="Propanediol", mass_mg=40_770)
    return log


def plain(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, isolation_level=None)


# --- what is written ------------------------------------------------------------------------------------------------


def test_there_is_none_until_the_first_entry(tmp_path: Path) -> None:
    with pytest.raises(UnknownNameError, match="no bench log"):
        open_log(tmp_path)
    assert not (tmp_path / FILE).exists()
    open_log(tmp_path, make=True).close()
    with open_log(tmp_path) as log:
        assert set(log.counts().values()) == {0}


def test_a_row_is_found_by_what_people_call_it_whatever_its_capitals(begun: BenchLog) -> None:
    begun.add("weighing", batch="r2-07", lot="n-0417", item="Propanediol", mass_mg=5)
    assert [row["mass_mg"] for row in begun.now("weighing", batch="R2-07")] == [40_770, 5]


def test_a_correction_keeps_the_old_value_its_reason_and_both_times(begun: BenchLog) -> None:
    row = begun.now("weighing")[0]["id"]
    begun.correct("weighing", row, "the tare was forgotten", mass_mg=40_700)
    begun.correct("weighing", row, "no, half of it", mass_mg=40_735)
    assert [r["mass_mg"] for r in begun.now("weighing")] == [40_735]
    history = begun.history("weighing", row)
    assert [r["mass_mg"] for r in history] == [40_770, 40_700, 40_735]
    assert [r["why"] for r in history] == ["", "the tare was forgotten", "no, half of it"]
    assert all(r["entered_at"] for r in history)
    assert begun.now("weighing")[0]["id"] == row


def test_a_corrected_lot_keeps_its_batches(begun: BenchLog) -> None:
    begun.correct("lot", "N-0417", "misread", code="N-0471")
    lot = begun.now("lot", code="N-0471")[0]
    assert [w["lot"] for w in begun.now("weighing")] == [lot["id"]]
    with pytest.raises(UnknownNameError, match='did you mean "N-0471"'):
        begun.add("weighing", batch="R2-07", lot="N-0417", item="Propanediol", mass_mg=1)


def test_what_was_taken_back_counts_no_more_and_is_still_there(begun: BenchLog) -> None:
    row = begun.now("weighing")[0]["id"]
    begun.withdraw("weighing", row, "weighed into another beaker")
    assert begun.now("weighing") == []
    assert len(begun.history("weighing", row)) == 2
    with pytest.raises(QuantityError, match="taken back"):
        begun.correct("weighing", row, "again", mass_mg=3)


@pytest.mark.parametrize("why", ["", "  "])
def test_a_correction_needs_a_reason_and_a_change(begun: BenchLog, why: str) -> None:
    row = begun.now("weighing")[0]["id"]
    with pytest.raises(QuantityError, match="reason"):
        begun.correct("weighing", row, why, mass_mg=1)
    with pytest.raises(QuantityError, match="nothing would change"):
        begun.correct("weighing", row, "as it was", mass_mg=40_770)


@pytest.mark.parametrize(
    ("table", "values", "error", "says"),
    [
        ("batch", BATCH | {"number": "r2-07"}, QuantityError, "already"),
        ("batch", BATCH | {"number": "x", "containers": 0}, QuantityError, "at least 1"),
        ("batch", BATCH | {"number": " "}, QuantityError, "missing"),
        ("weighing", {"batch": "R2-08", "item": "x", "mass_mg": 1}, UnknownNameError, 'did you mean "R2-07"'),
        ("weighing", {"batch": "R2-07", "item": "x", "mass_mg": 1, "lot": "N-0418"}, UnknownNameError, "N-0417"),
        ("weighing", {"batch": "R2-07", "item": "x", "mass_mg": -1}, QuantityError, "at least 0"),
        ("weighing", {"batch": "R2-07", "item": "x", "mass_mg": 1.5}, QuantityError, "whole number"),
        ("weighing", {"batch": "R2-07", "item": "x", "mass_mg": True}, QuantityError, "whole number"),
        ("weighing", {"batch": "R2-07", "item": "x", "mass_mg": 2**70}, QuantityError, "whole number"),
        ("reading", {"batch": "R2-07", "kind": "pH", "read_at": "t", "value": float("nan")}, QuantityError, "a number"),
        ("reading", {"batch": "R2-07", "kind": "pH", "read_at": "t", "at_c": -300.0}, QuantityError, "at least"),
        ("reading", {"batch": "R2-07", "kind": "p\0H", "read_at": "t"}, QuantityError, "plain texts"),
        ("deed", {"batch": "R2-07", "step": 1, "state": "half"}, QuantityError, "done, skipped"),
        ("lot", {"code": "a", "item": "x", "certificate": "maybe"}, QuantityError, "yes, no"),
        ("lot", {"code": "a", "itme": "x"}, UnknownNameError, 'did you mean "item"'),
        ("lots", {}, UnknownNameError, 'did you mean "lot"'),
    ],
)
def test_what_cannot_stand_there_is_refused_whole(begun: BenchLog, table, values, error, says: str) -> None:
    before = begun.counts()
    with pytest.raises(error, match=says):
        begun.add(table, **values)
    assert begun.counts() == before


def test_several_rows_are_written_all_or_none(begun: BenchLog) -> None:
    rows = [{"batch": "R2-07", "container": k, "mass_mg": 196_000} for k in (1, 2, 0)]
    with pytest.raises(QuantityError):
        begun.add_all("fill", rows)
    assert begun.now("fill") == []
    begun.add_all("fill", [r | {"container": max(1, r["container"])} for r in rows])
    assert len(begun.now("fill")) == 3


# --- nothing is changed, removed or replaced -------------------------------------------------------------------------


@pytest.mark.parametrize("table", sorted(TABLES))
@pytest.mark.parametrize("act", ["UPDATE {} SET why = 'x'", "DELETE FROM {}"])
def test_the_file_itself_forbids_a_change(begun: BenchLog, tmp_path: Path, table: str, act: str) -> None:
    batch = begun.now("batch")[0]["id"]
    unit = begun.add("unit", batch=batch, code="u")
    begun.add("deed", batch=batch, step=1, state="done")
    begun.add("reading", batch=batch, kind="pH", read_at="t")
    begun.add("deviation", batch=batch, what="x", reason="y")
    begun.add("fill", batch=batch, container=1, mass_mg=1)
    begun.add("gone", unit=unit, place="shelf", use="sale", gone_on="2026-11-03")
    begun.add("complaint", told_on="2026-11-09", words="itches")
    begun.add("tick", batch=batch, part="start", what="x", done=False, ticked_at="t")
    with contextlib.closing(plain(tmp_path / FILE)) as db, pytest.raises(sqlite3.IntegrityError, match="kept"):
        db.execute(act.format(table))
    assert begun.broken_links() == []


def test_the_file_itself_forbids_a_replacement(begun: BenchLog, tmp_path: Path) -> None:
    with contextlib.closing(plain(tmp_path / FILE)) as db:
        row = db.execute("SELECT * FROM weighing").fetchone()
        with pytest.raises(sqlite3.IntegrityError, match="kept"):
            db.execute(f"INSERT OR REPLACE INTO weighing VALUES ({', '.join('?' * len(row))})", row)


def test_a_flipped_digit_is_found(begun: BenchLog, tmp_path: Path) -> None:
    with contextlib.closing(plain(tmp_path / FILE)) as db:
        db.execute("DROP TRIGGER weighing_no_update")
        db.execute("UPDATE weighing SET mass_mg = 40771")
        assert db.execute("PRAGMA integrity_check").fetchone()[0] == "ok"  # SQLite itself sees nothing
    assert begun.broken_links() == [("weighing", 1)]
    assert {f.code for f in look_over(begun) if f.kind == "stop"} == {"log.changed"}


@settings(max_examples=30, deadline=None)
@given(st.data())
def test_any_flipped_bit_is_found_or_changes_nothing(tmp_path_factory, data) -> None:
    folder = tmp_path_factory.mktemp("bits")
    with open_log(folder, make=True) as log:
        log.add("batch", **BATCH)
        log.add_all("fill", [{"batch": "R2-07", "container": k, "mass_mg": 195_000 + k} for k in range(1, 40)])
        before = [tuple(r.items()) for r in log.now("fill")]
    raw = bytearray((folder / FILE).read_bytes())
    place = data.draw(st.integers(100, len(raw) - 1))
    raw[place] ^= 1 << data.draw(st.integers(0, 7))
    (folder / FILE).write_bytes(raw)
    shutil.rmtree(folder / "bench")
    try:
        with open_log(folder) as log:
            same = [tuple(r.items()) for r in log.now("fill")] == before
            assert same or log.broken_links()
    except NoticeError:
        pass  # it was seen


# --- many hands, sudden ends ---------------------------------------------------------------------------------------


def _writes(folder: str, count: int, name: str) -> None:
    with open_log(folder) as log:
        for k in range(count):
            log.add("reading", batch="R2-07", kind=name, value=float(k), read_at="t")


@pytest.mark.skipif(FORK is None, reason="processes are not forked here")
def test_two_that_write_at_once_lose_nothing(begun: BenchLog, tmp_path: Path) -> None:
    both = [FORK.Process(target=_writes, args=(str(tmp_path), 60, name)) for name in ("pH", "spread")]
    for process in both:
        process.start()
    for process in both:
        process.join(60)
        assert process.exitcode == 0
    for name in ("pH", "spread"):
        assert [r["value"] for r in begun.now("reading", kind=name)] == [float(k) for k in range(60)]
    assert begun.broken_links() == []
    assert not twin_differs(begun, "reading")


@pytest.mark.skipif(FORK is None, reason="processes are not forked here")
def test_a_process_killed_at_any_moment_loses_nothing_that_was_confirmed(begun: BenchLog, tmp_path: Path) -> None:
    begun.close()
    killed = subprocess.run([sys.executable, str(KILLED), str(tmp_path)], capture_output=True, text=True, check=True)
    confirmed, asked = map(set, json.loads(killed.stdout))
    assert len(confirmed) > 100
    with open_log(tmp_path) as log:
        there = {r["id"] for r in log.now("reading")}
        assert confirmed <= there <= asked
        rows = {r["id"] for r in log.ask("SELECT id FROM reading")}
        assert rows & asked == there & asked
        assert log.ask("PRAGMA integrity_check")[0]["integrity_check"] == "ok"
        assert log.broken_links() == []
        assert not twin_differs(log, "reading")


def test_a_full_disk_gives_a_sentence_and_keeps_what_was_there(begun: BenchLog) -> None:
    pages = begun.ask("PRAGMA page_count")[0]["page_count"]
    begun.ask(f"PRAGMA max_page_count = {pages}")
    rows = [{"batch": "R2-07", "kind": "pH", "words": "x" * 500, "read_at": "t"}] * 4000
    with pytest.raises(NoticeError, match="disk is full"):
        begun.add_all("reading", rows)
    assert begun.now("weighing")[0]["mass_mg"] == 40_770
    assert begun.broken_links() == []


def test_a_folder_that_may_not_be_written_can_be_read(begun: BenchLog, tmp_path: Path, monkeypatch) -> None:
    begun.close()
    opened = Path.open

    def refusing(self, mode="r", *rest, **more):
        if "a" in mode:
            raise PermissionError(13, "Permission denied")
        return opened(self, mode, *rest, **more)

    monkeypatch.setattr(Path, "open", refusing)
    with open_log(tmp_path) as log:
        assert len(log.now("weighing")) == 1
        assert [f.code for f in look_over(log)] == ["log.read_only"]
        with pytest.raises(NoticeError, match="may not be written"):
            log.add("weighing", batch="R2-07", item="x", mass_mg=1)
    (tmp_path / "empty").mkdir()
    with pytest.raises(NoticeError, match="no bench log can be made"):
        open_log(tmp_path / "empty", make=True)


def test_a_locked_file_says_so(begun: BenchLog, tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(opening, "WAIT_S", 0.05)
    with contextlib.closing(plain(tmp_path / FILE)) as other, open_log(tmp_path) as log:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(NoticeError, match="something else"):
            log.add("weighing", batch="R2-07", item="x", mass_mg=1)
        other.execute("ROLLBACK")
        log.add("weighing", batch="R2-07", item="x", mass_mg=1)


# --- foreign, newer, damaged -----------------------------------------------------------------------------------------


def test_a_file_of_another_program_is_left_alone(tmp_path: Path) -> None:
    with contextlib.closing(plain(tmp_path / FILE)) as db:
        db.execute("CREATE TABLE birds (name)")
    before = (tmp_path / FILE).read_bytes()
    for make in (False, True):
        with pytest.raises(NoticeError, match="another program"):
            open_log(tmp_path, make=make)
    with pytest.raises(NoticeError, match="another program"):
        mend_log(tmp_path)
    assert (tmp_path / FILE).read_bytes() == before


def test_a_log_of_a_newer_workbook_is_left_alone(begun: BenchLog, tmp_path: Path) -> None:
    with contextlib.closing(plain(tmp_path / FILE)) as db:
        db.execute("PRAGMA user_version = 99")
    with pytest.raises(NoticeError, match="newer workbook"):
        open_log(tmp_path)


def _spoilt(path: Path, how: str) -> None:
    raw = bytearray(path.read_bytes())
    if how == "empty":
        raw = bytearray()
    elif how == "text":
        raw = bytearray(b"dear diary, today I made soap\n" * 40)
    elif how == "cut":
        raw = raw[: len(raw) // 3]
    else:
        raw[4096 : 4096 * 3] = os.urandom(4096 * 2)
    path.write_bytes(raw)


@pytest.mark.parametrize("how", ["empty", "text", "cut", "noise"])
def test_a_damaged_log_is_set_aside_and_comes_back_from_its_tables(begun: BenchLog, tmp_path: Path, how: str) -> None:
    begun.correct("weighing", begun.now("weighing")[0]["id"], 'the tare, "5 g",\nwas forgotten', mass_mg=35_770)
    begun.add("complaint", told_on="2026-11-09", words="=itches")
    held = {t: begun.ask(f"SELECT * FROM {t} ORDER BY seq") for t in TABLES}
    begun.close()
    _spoilt(tmp_path / FILE, how)
    spoilt = (tmp_path / FILE).read_bytes()
    with pytest.raises(DamagedLogError, match="--mend"):
        open_log(tmp_path, make=True)
    assert (tmp_path / FILE).read_bytes() == spoilt
    mended = mend_log(tmp_path)
    assert mended.aside.read_bytes() == spoilt
    assert mended.aside.name in mended.sentence()
    with open_log(tmp_path) as log:
        assert {t: log.ask(f"SELECT * FROM {t} ORDER BY seq") for t in TABLES} == held  # the marks too
        assert look_over(log) == ()
        log.add("weighing", batch="R2-07", item="Glycerin", mass_mg=1)
    with pytest.raises(NoticeError, match="nothing to mend"):
        mend_log(tmp_path)


def test_a_large_log_is_read_whole_only_when_it_is_looked_over(begun: BenchLog, tmp_path: Path, monkeypatch) -> None:
    begun.add_all("fill", [{"batch": "R2-07", "container": k, "mass_mg": k} for k in range(1, 400)])
    begun.close()
    raw = bytearray((tmp_path / FILE).read_bytes())
    raw[-3 * 4096 : -4096] = bytes(2 * 4096)
    (tmp_path / FILE).write_bytes(raw)
    monkeypatch.setattr(opening, "CHECKED_BYTES", 1000)
    with contextlib.suppress(DamagedLogError), open_log(tmp_path) as log:
        assert {"log.damaged", "log.changed"} & {f.code for f in look_over(log)}
    monkeypatch.undo()
    with pytest.raises(DamagedLogError):
        open_log(tmp_path)


def test_a_table_that_is_cut_gives_back_what_it_holds(begun: BenchLog, tmp_path: Path) -> None:
    begun.add_all("fill", [{"batch": "R2-07", "container": k, "mass_mg": k} for k in (1, 2, 3)])
    begun.close()
    twin = tmp_path / "bench" / "fill.csv"
    twin.write_bytes(twin.read_bytes()[:-30])
    (tmp_path / FILE).write_bytes(b"")
    mend_log(tmp_path)
    with open_log(tmp_path) as log:
        assert [r["mass_mg"] for r in log.now("fill")] == [1, 2]


# --- the tables beside it -------------------------------------------------------------------------------------------


def test_the_twin_holds_every_row_in_words_that_no_spreadsheet_runs(begun: BenchLog, tmp_path: Path) -> None:
    begun.add("deviation", batch="R2-07", what="=1+1", reason="@home")
    with (tmp_path / "bench" / "deviation.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(r["what"], r["reason"]) for r in rows] == [("'=1+1", "'@home")]
    assert not twin_differs(begun, "deviation")


def test_a_twin_that_fell_behind_or_was_spoilt_is_mended_at_the_next_opening(begun: BenchLog, tmp_path: Path) -> None:
    begun.add_all("fill", [{"batch": "R2-07", "container": k, "mass_mg": k} for k in (1, 2, 3)])
    twin = tmp_path / "bench" / "fill.csv"
    whole = twin.read_bytes()
    for cut in (len(whole), 20, 3, 1):
        twin.write_bytes(whole[:-cut])
        with open_log(tmp_path) as log:
            assert not twin_differs(log, "fill")
    twin.unlink()
    with open_log(tmp_path):
        assert twin.read_bytes() == whole


def test_a_twin_that_cannot_be_written_stops_no_entry(begun: BenchLog, tmp_path: Path) -> None:
    (tmp_path / "bench" / "fill.csv").unlink(missing_ok=True)
    (tmp_path / "bench" / "fill.csv").mkdir()
    begun.add("fill", batch="R2-07", container=1, mass_mg=1)
    assert len(begun.now("fill")) == 1


def test_a_changed_twin_is_told(begun: BenchLog, tmp_path: Path) -> None:
    twin = tmp_path / "bench" / "weighing.csv"
    twin.write_bytes(twin.read_bytes().replace(b"40770", b"40771"))
    assert [f.code for f in look_over(begun)] == ["log.twin_differs"]


def test_a_clock_that_went_back_and_a_synced_folder_are_told(tmp_path: Path, monkeypatch) -> None:
    folder = tmp_path / "OneDrive - me"
    folder.mkdir()
    with open_log(folder, make=True) as log:
        log.add("batch", **BATCH)

        monkeypatch.setattr(book, "datetime", always(2020))
        log.add("batch", **BATCH | {"number": "R2-08"})
        assert [f.code for f in look_over(log)] == ["log.clock_back", "log.synced"]
        assert [r["number"] for r in log.now("batch")] == ["R2-07", "R2-08"]
        assert [f.code for f in where_it_stands(log)] == ["log.synced"]
        monkeypatch.setattr(mending, "datetime", always(1999))
        assert [f.code for f in where_it_stands(log)] == ["log.synced", "log.clock_behind"]
    own = BenchBook(replace(demo(), folder=folder))
    assert "service copies" in own.said  # on every screen of the bench, before anything is written
    assert "clock went back" in own.said
    own.close()


def always(year: int) -> type:
    """A clock that stands."""
    return type("Clock", (), {"now": staticmethod(lambda zone: datetime(year, 1, 1, tzinfo=zone))})


WORDS = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), min_size=1, max_size=40)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(WORDS, st.integers(0, 10**9)), min_size=1, max_size=6))
def test_any_words_come_back_from_log_and_twin(tmp_path_factory, rows) -> None:
    folder = tmp_path_factory.mktemp("words")
    with open_log(folder, make=True) as log:
        log.add("batch", **BATCH)
        kept = []
        for words, mass in rows:
            try:
                log.add("weighing", batch="R2-07", item=words, mass_mg=mass)
            except MakerKitError:
                assert not words.strip()
            else:
                kept.append((words.strip(), mass))
        assert [(r["item"], r["mass_mg"]) for r in log.now("weighing")] == kept
        assert not twin_differs(log, "weighing")


def test_the_mark_in_the_file_is_the_workbook_s(begun: BenchLog, tmp_path: Path) -> None:
    # the header's application id stands big-endian in bytes 68-71 (SQLite, "Database File Format", section 1.3)
    assert int.from_bytes((tmp_path / FILE).read_bytes()[68:72]) == APPLICATION_ID
