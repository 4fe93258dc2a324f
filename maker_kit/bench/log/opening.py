"""Opening the bench log of a workshop: made on first use, checked, and left alone where it is another program's."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from maker_kit.bench.log.book import BenchLog
from maker_kit.bench.log.refused import TROUBLE, WAIT_S, DamagedLogError, damage, refused
from maker_kit.bench.log.schema import APPLICATION_ID, MIGRATIONS, TABLES, as_read
from maker_kit.bench.log.twin import twin_folder
from maker_kit.errors import NoticeError, UnknownNameError

FILE = "bench.sqlite"
ROOM = "cache_size = -65536"
"""At most 64 MB of the file are kept in memory: a lot in 5,000 batches is then followed in 0.85 of the time."""
CHECKED_BYTES = 64_000_000
"""A larger log is not read whole when it is opened, which would take seconds; `look_over` reads it. A damaged page is
told all the same as soon as it is touched.
"""


def open_log(folder: str | Path, *, make: bool = False) -> BenchLog:
    """Open the bench log of a workshop.

    Parameters
    ----------
    folder : str or Path
        The workshop.
    make : bool
        Whether it is made where there is none.

    Returns
    -------
    BenchLog

    Raises
    ------
    UnknownNameError
        If there is none, and it is not to be made.
    DamagedLogError
        If the file is damaged, or empty although its table twins hold rows.
    NoticeError
        If it belongs to another program or to a newer workbook, or cannot be opened; it is left alone.
    """
    path = Path(folder) / FILE
    there = path.is_file()
    if not there and not make:
        raise UnknownNameError(f"there is no bench log in {Path(folder).name} yet; it begins with the first entry")
    try:
        log = _connected(path, there)
        _look_at(log, there)
    except TROUBLE as error:
        raise refused(path, error) from error
    if log.may_write:
        log.keep_twins(tuple(TABLES))
    return log


def _connected(path: Path, there: bool) -> BenchLog:
    may_write = True
    if there and path.stat().st_size:
        with path.open("rb") as file:
            head = file.read(100)
        if head[:16] != b"SQLite format 3\0":
            raise DamagedLogError(damage(path, "its first bytes are not those of a log"))
    try:
        with path.open("ab"):
            pass
    except OSError as error:
        if not there:
            raise NoticeError(f"no bench log can be made in {path.parent.name}: {error.strerror or error}") from error
        may_write = False
    address = f"{path.absolute().as_uri()}?mode={'rwc' if may_write else 'ro'}"
    db = sqlite3.connect(address, uri=True, timeout=WAIT_S, isolation_level=None, check_same_thread=False)
    db.row_factory = sqlite3.Row
    db.text_factory = lambda raw: raw.decode("utf-8", "replace")  # a flipped bit in a text is told by its mark
    log = BenchLog(path, db, may_write)
    for pragma in ("foreign_keys = ON", "recursive_triggers = ON", "trusted_schema = OFF", "synchronous = FULL", ROOM):
        db.execute(f"PRAGMA {pragma}")
    return log


def _look_at(log: BenchLog, there: bool) -> None:
    db, path = log.db, log.path
    mark, version = (db.execute(f"PRAGMA {p}").fetchone()[0] for p in ("application_id", "user_version"))
    empty = not db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    if empty and not mark:
        if there and _has_twin(path):
            db.close()
            raise DamagedLogError(damage(path, "it is empty, and the tables beside it are not"))
    elif mark != APPLICATION_ID:
        db.close()
        raise NoticeError(f"{path.name} belongs to another program and is left alone; move it to another folder")
    if version > len(MIGRATIONS):
        db.close()
        raise NoticeError(f"{path.name} was written by a newer workbook (version {version}) and is left alone")
    small = there and path.stat().st_size <= CHECKED_BYTES
    if small and not empty and db.execute("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
        db.close()
        raise DamagedLogError(damage(path, "its pages do not hold together"))
    if version < len(MIGRATIONS) and log.may_write:
        with log.writing():
            version = db.execute("PRAGMA user_version").fetchone()[0]  # another may have been faster
            for step in MIGRATIONS[version:]:
                for statement in step:
                    db.execute(statement)
            db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            db.execute(f"PRAGMA user_version = {len(MIGRATIONS)}")
    elif version < len(MIGRATIONS):
        for statement in as_read(version):
            db.execute(statement)


def _has_twin(path: Path) -> bool:
    return any(file.stat().st_size for file in twin_folder(path).glob("*.csv"))
