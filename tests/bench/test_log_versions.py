"""A log of an earlier version: migrated without loss, read where it may not be written; a newer one is left alone.

``log_version_1.sql`` is a log as the first version of the workbook wrote it, as SQLite's own shell dumps it.
"""

from __future__ import annotations

import contextlib
import hashlib
import sqlite3
from pathlib import Path

import pytest

from maker_kit.bench.clean import CLEAN_START, last_tools, not_clean, tick, ticks_of, write_maker
from maker_kit.bench.log import look_over, mend_log, open_log, opening
from maker_kit.bench.log.opening import FILE
from maker_kit.bench.log.schema import APPLICATION_ID, MIGRATIONS, TABLES
from maker_kit.bench.log.twin import catch_up
from maker_kit.bench.trace import trace
from maker_kit.errors import NoticeError, QuantityError, UnknownNameError

OLD = Path(__file__).with_name("log_version_1.sql").read_text(encoding="utf-8")
NEW = {"batch": "made_by", "weighing": "scale", "reading": "instrument", "fill": "scale"}
"""Table to the column that version 2 brought."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with contextlib.closing(sqlite3.connect(tmp_path / FILE)) as db:
        db.executescript(OLD)
        db.executescript(f"PRAGMA application_id = {APPLICATION_ID}; PRAGMA user_version = 1")
    return tmp_path


def held(folder: Path) -> dict[str, list[dict]]:
    """Every row of the file, by SQLite alone."""
    with contextlib.closing(sqlite3.connect(folder / FILE)) as db:
        db.row_factory = sqlite3.Row
        tables = [
            r[0] for r in db.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT GLOB 's*_*'")
        ]
        return {t: [dict(r) for r in db.execute(f"SELECT * FROM {t} ORDER BY seq")] for t in tables}


def test_an_old_log_is_migrated_and_every_row_stands_as_it_was(folder) -> None:
    before = held(folder)
    with open_log(folder) as log:
        assert log.ask("PRAGMA user_version")[0]["user_version"] == len(MIGRATIONS) == 2
        assert log.broken_links() == []  # by the marks that the old rows were written with
        assert look_over(log) == ()
        assert trace(log, "N-0417").places == {"room 4": 1}
    after = held(folder)
    assert set(after) - set(before) == {"tick"}
    for table, rows in before.items():
        assert [{k: row[k] for k in old} for row, old in zip(after[table], rows, strict=True)] == rows
        assert {row[NEW[table]] for row in after[table]} == {None} if table in NEW else True
    with open_log(folder):
        assert held(folder) == after  # a second opening changes nothing


def test_the_new_columns_take_values_and_corrections_and_stand_in_the_twin(folder) -> None:
    with open_log(folder) as log:
        fill = log.now("fill")[0]["id"]
        log.correct("fill", fill, "it stands on the scale", scale="S-1")
        log.correct("fill", fill, "misread", scale="S-7")
        assert [r["scale"] for r in log.history("fill", fill)] == [None, "S-1", "S-7"]
        log.add("reading", batch="R2-07", kind="pH", value=5.5, read_at="2026-11-03", instrument="PH-3")
        assert write_maker(log, "R2-07", "A. Maker")
        assert not write_maker(log, "R2-07", "A. Maker")
        assert (log.now("batch")[0]["made_by"], last_tools(log).ph_meter) == ("A. Maker", "PH-3")
        assert look_over(log) == ()  # marks and twins too
        log.db.execute("DROP TRIGGER fill_no_update")
        log.db.execute("UPDATE fill SET scale = NULL WHERE scale = 'S-1'")
        assert {t for t, _ in log.broken_links()} == {"fill"}  # emptied again, it is told
    twin = (folder / "bench" / "reading.csv").read_text(encoding="utf-8")
    assert "instrument" in twin
    assert "PH-3" in twin


def test_a_damaged_log_comes_back_from_the_tables_of_an_old_one(folder, monkeypatch) -> None:
    before = held(folder)
    with contextlib.closing(sqlite3.connect(folder / FILE)) as db, monkeypatch.context() as old:
        columns = {t: tuple(c for c in cs if c.since == 1) for t, cs in TABLES.items()}
        for module in ("twin",):
            old.setattr(f"maker_kit.bench.log.{module}.TABLES", columns)
        db.isolation_level = None
        catch_up(db, folder / FILE, [t for t in TABLES if t != "tick"])
    (folder / FILE).write_bytes(b"")
    mended = mend_log(folder)
    assert sum(mended.lost.values()) == 0
    after = held(folder)
    for table, rows in before.items():
        assert [{k: row[k] for k in old} for row, old in zip(after[table], rows, strict=True)] == rows


def test_an_old_log_that_may_not_be_written_is_read_and_not_touched(folder, monkeypatch) -> None:
    digest = hashlib.sha256((folder / FILE).read_bytes()).hexdigest()
    opened = Path.open

    def refusing(self, mode="r", *rest, **more):
        if "a" in mode:
            raise PermissionError(13, "Permission denied")
        return opened(self, mode, *rest, **more)

    monkeypatch.setattr(Path, "open", refusing)
    with open_log(folder) as log:
        assert {f.code for f in look_over(log)} == {"log.read_only", "log.twin_differs"}  # no table was ever beside it
        assert log.now("batch")[0]["made_by"] is None
        assert (log.now("tick"), log.counts()["reading"]) == ([], 2)
        assert trace(log, "R2-07").places == {"room 4": 1}
        assert [f.code for f in not_clean(log, "R2-07")] == ["clean.not_ticked"]
        with pytest.raises(NoticeError):
            log.add("fill", batch="R2-07", container=4, mass_mg=1)
    assert hashlib.sha256((folder / FILE).read_bytes()).hexdigest() == digest


def test_a_migration_that_is_cut_off_leaves_the_old_log(folder, monkeypatch) -> None:
    before = held(folder)
    monkeypatch.setattr(opening, "MIGRATIONS", (MIGRATIONS[0], (*MIGRATIONS[1], "CREATE TABLE lot (x)")))
    with pytest.raises(NoticeError):
        open_log(folder)
    assert held(folder) == before
    monkeypatch.undo()
    with open_log(folder) as log:
        assert log.broken_links() == []


def test_a_newer_log_is_left_alone_to_the_byte(folder) -> None:
    with open_log(folder) as log:
        log.db.execute(f"PRAGMA user_version = {len(MIGRATIONS) + 1}")
    before = (folder / FILE).read_bytes()
    for act in (open_log, mend_log):
        with pytest.raises(NoticeError, match="newer workbook"):
            act(folder)
    assert (folder / FILE).read_bytes() == before


def test_ticks_say_what_was_done_by_whom_and_what_nobody_wrote_down(folder) -> None:
    with open_log(folder) as log:
        assert [f.code for f in not_clean(log, "R2-07")] == ["clean.not_ticked"]
        told = tick(log, "R2-07", "start", CLEAN_START[1:], "2026-11-02 08:50", "A. Maker")
        assert [(f.code, CLEAN_START[0] in f.text) for f in told] == [("clean.open", True)]
        assert tick(log, "R2-07", "start", CLEAN_START, "2026-11-02 08:55", "A. Maker") == ()
        start = [t for t in ticks_of(log, "R2-07") if t.part == "start"]
        assert {(t.done, t.by, t.ticked_at) for t in start} == {(True, "A. Maker", "2026-11-02 08:55")}
        assert {t.done for t in ticks_of(log, "R2-07") if t.part == "end"} == {None}
        assert len(log.now("tick")) == 2 * len(CLEAN_START)  # the first ones stay
        for part, done, at, batch in (
            ("middle", (), "2026-11-02 08:50", "R2-07"),
            ("start", ("swept",), "2026-11-02 08:50", "R2-07"),
            ("start", (), "today", "R2-07"),
            ("start", (), "2026-11-02 08:50", "R2-70"),
        ):
            with pytest.raises((QuantityError, UnknownNameError)):
                tick(log, batch, part, done, at)
        assert len(log.now("tick")) == 2 * len(CLEAN_START)
