"""A log that is damaged, or that somebody changed: found, set aside and named, and brought back from its twin."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

from maker_kit.bench.log.book import BenchLog
from maker_kit.bench.log.opening import FILE, open_log
from maker_kit.bench.log.refused import DamagedLogError
from maker_kit.bench.log.schema import KEPT, TABLES
from maker_kit.bench.log.twin import read_twin, twin_folder
from maker_kit.errors import NoticeError
from maker_kit.findings import Finding, look, stop

SYNCED = ("dropbox", "google drive", "googledrive", "icloud", "mobile documents", "nextcloud", "onedrive", "owncloud")
"""Parts of folder names by which services that copy folders call theirs (common practice, no source)."""

_LAST = "SELECT coalesce((SELECT entered_at FROM {0} ORDER BY seq DESC LIMIT 1), '') AS last"


@dataclass(frozen=True)
class Mended:
    """What came back of a damaged log.

    Attributes
    ----------
    aside : pathlib.Path or None
        The damaged file under its new name; None where there was nothing to set aside.
    rows : dict of str to int
        Rows brought back, by table.
    lost : dict of str to int
        Rows of the twin that could not be brought back, by table: they name a row that is not there.
    """

    aside: Path | None
    rows: dict[str, int]
    lost: dict[str, int]

    def sentence(self) -> str:
        """What happened, for a maker."""
        aside = f"The damaged log is kept as {self.aside.name}. " if self.aside else ""
        lost = sum(self.lost.values())
        missing = f" {lost} rows name something that is not there and stayed behind." if lost else ""
        return f"{aside}{sum(self.rows.values())} rows were brought back from the tables beside it.{missing}"


def mend_log(folder: str | Path) -> Mended:
    """Set a damaged log aside under a name of its own, and make a new one from the tables beside it.

    Parameters
    ----------
    folder : str or Path
        The workshop.

    Returns
    -------
    Mended

    Raises
    ------
    NoticeError
        If the log is whole, belongs to another program or a newer workbook, or nothing can be written.
    """
    path = Path(folder) / FILE
    try:
        with open_log(folder, make=True) as log:
            whole = not log.broken_links()
            if whole:
                raise NoticeError(f"{path.name} is whole; there is nothing to mend")
    except DamagedLogError:
        pass
    held = {table: list(_rows(path, table)) for table in TABLES}
    aside = None
    try:
        if path.is_file():
            aside = path.with_name(f"bench-damaged-{datetime.now(UTC):%Y%m%d-%H%M%S-%f}.sqlite")
            path.replace(aside)
            journal = path.with_name(path.name + "-journal")
            if journal.is_file():
                journal.replace(aside.with_name(aside.name + "-journal"))
        twins = twin_folder(path)
        if twins.is_dir():
            twins.replace(path.parent / f"bench-tables-{datetime.now(UTC):%Y%m%d-%H%M%S-%f}")
    except OSError as error:
        raise NoticeError(f"{path.name} could not be set aside: {error.strerror or error}") from error
    with open_log(folder, make=True) as log:
        rows, lost = _bring_back(log, held)
        log.keep_twins(tuple(TABLES))
    return Mended(aside, rows, lost)


def _rows(path: Path, table: str) -> Iterable[dict[str, Any]]:
    file = twin_folder(path) / f"{table}.csv"
    return read_twin(file, table) if file.is_file() else ()


def _bring_back(log: BenchLog, held: dict[str, list[dict[str, Any]]]) -> tuple[dict[str, int], dict[str, int]]:
    rows, lost = {}, {}
    for table, columns in TABLES.items():  # what is named stands in an earlier table
        brought = 0
        for row in held[table]:
            values = {c.name: row.get(c.name) for c in columns}
            kept = {n: row.get(n) for n in KEPT if n not in ("seq", "chain")}
            with contextlib.suppress(NoticeError, sqlite3.DatabaseError, KeyError, TypeError):
                with log.writing() as db:
                    log.insert(db, table, kept, values)
                brought += 1
        rows[table], lost[table] = brought, len(held[table]) - brought
    return rows, lost


def look_over(log: BenchLog) -> tuple[Finding, ...]:
    """What to know of a log before it is trusted.

    Parameters
    ----------
    log : BenchLog

    Returns
    -------
    tuple of Finding
        ``log.damaged`` (stop): its pages do not hold together; ``log.changed`` (stop): a row does not follow from
        itself and the row before; ``log.links`` (stop): a row names one that is not there; ``log.clock_back`` (look):
        the computer's clock went back between two entries; ``log.twin_differs`` (look): a table beside the log holds
        something else; ``log.synced`` (look): the folder looks like one that a service copies; ``log.read_only``
        (look): nothing can be written.
    """
    found = []
    if log.ask("PRAGMA integrity_check(1)")[0]["integrity_check"] != "ok":
        step = "Set it aside and bring back what the tables beside it hold: `maker-kit log --mend`."
        found.append(stop("log.damaged", FILE, "The pages of the log do not hold together.", next_step=step))
    broken = log.broken_links()
    if broken:
        where = ", ".join(f"{table} row {seq}" for table, seq in broken[:5])
        text = f"{len(broken)} entries do not match the mark they were written with, the first: {where}."
        step = "Someone or something changed the file. Compare with the tables beside it before you trust it."
        found.append(stop("log.changed", FILE, text, next_step=step))
    if log.ask("PRAGMA foreign_key_check"):
        found.append(stop("log.links", FILE, "An entry names a lot, batch or unit that is not in the log."))
    for table in TABLES:
        times = [(r["seq"], r["entered_at"]) for r in log.ask(f"SELECT seq, entered_at FROM {table} ORDER BY seq")]
        back = [(a, b) for a, b in pairwise(times) if b[1] < a[1]]
        if back:
            (_, before), (seq, after) = back[0]
            text = f"The clock went back: {table} row {seq} was entered at {after}, after one of {before}."
            found.append(look("log.clock_back", table, text, next_step="Set the clock; the order of entries is kept."))
        if twin_differs(log, table):
            text = f"The table {table}.csv beside the log is not what the log holds; the log counts."
            found.append(look("log.twin_differs", table, text))
    return (*found, *where_it_stands(log))


def where_it_stands(log: BenchLog) -> tuple[Finding, ...]:
    """What to know before something is written, told at once: ``log.synced``, ``log.read_only`` and, where the
    computer's clock stands before the last entry, ``log.clock_behind``; all of them looks.
    """
    found = []
    if any(part in str(log.path.absolute()).casefold() for part in SYNCED):
        text = "This folder looks like one that a service copies elsewhere while you write."
        step = "Write on one machine at a time, and wait until the service is done before you open it on another."
        found.append(look("log.synced", FILE, text, next_step=step))
    if not log.may_write:
        found.append(look("log.read_only", FILE, "The log can be read here, but nothing can be written."))
    last = max(r["last"] for r in log.ask(" UNION ALL ".join(_LAST.format(table) for table in TABLES)))
    now = f"{datetime.now(UTC):%Y-%m-%dT%H:%M}"
    if last[: len(now)] > now:
        text = f"The computer's clock says {now}Z, and the last entry was written at {last}: the clock went back."
        found.append(look("log.clock_behind", FILE, text, next_step="Set the clock before you write anything down."))
    return tuple(found)


def twin_differs(log: BenchLog, table: str) -> bool:
    """Whether the table beside the log holds anything else than the log."""
    names = [*KEPT, *(c.name for c in TABLES[table])]
    mine = [tuple(_plain(row.get(n)) for n in names) for row in log.ask(f"SELECT * FROM {table} ORDER BY seq")]
    beside = [tuple(_plain(row.get(n)) for n in names) for row in _rows(log.path, table)]
    return mine != beside


def _plain(value: Any) -> Any:
    return "" if value is None else value
