"""The bench log: a file that only grows. What was written stays, whoever writes at once and whenever it is cut off.

SQLite with its rollback journal and full syncs (a write-ahead log cannot be read in a read-only folder, and a service
that copies the main file alone spoils it); every change is one ``BEGIN IMMEDIATE`` (a plain ``BEGIN`` is refused where
two write); whether a row was written is answered by its own id, never by writing it again.
"""

from __future__ import annotations

import contextlib
import sqlite3
import weakref
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from maker_kit.bench.log.refused import TROUBLE, refused
from maker_kit.bench.log.schema import NAMES, TABLES, Column
from maker_kit.bench.log.twin import catch_up
from maker_kit.bench.log.values import can_be_kept, columns_of, fitting, link, new_id
from maker_kit.errors import NoticeError, QuantityError, UnknownNameError, short
from maker_kit.names import near_miss


class BenchLog:
    """A workshop's bench log, open.

    Made by `open_log`; closed by ``with`` or `close`. What is written is on the disk when a call returns.

    Attributes
    ----------
    path : pathlib.Path
        The file.
    may_write : bool
        Whether rows can be added; a log in a folder that may not be written can still be read.
    """

    def __init__(self, path: Path, connection: sqlite3.Connection, may_write: bool) -> None:
        self.path, self.may_write, self.db = path, may_write, connection
        weakref.finalize(self, connection.close)  # a panel keeps its log open until nobody holds it any more

    def __enter__(self) -> BenchLog:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self.db.close()

    def add(self, table: str, row_id: str = "", **values: Any) -> str:
        """Write a row and return its id.

        Parameters
        ----------
        table : str
            One of `maker_kit.bench.log.schema.TABLES`.
        row_id : str
            Its id, where the caller has made one (`new_id`) to ask later whether it was written.
        **values
            By column; a column that is left out is empty. What names a lot, a batch or a unit takes its name or its id.

        Returns
        -------
        str

        Raises
        ------
        UnknownNameError
            If there is no such table or column, or no lot, batch or unit of that name.
        QuantityError
            If a value cannot stand in its column, or two would have one name.
        NoticeError
            If the file cannot be written; then nothing was.
        """
        return self.add_all(table, [values], [row_id] if row_id else None)[0]

    def add_all(
        self, table: str, rows: Sequence[Mapping[str, Any]], ids: Sequence[str] | None = None
    ) -> tuple[str, ...]:
        """Write several rows of one table, all or none; as `add`."""
        given = tuple(ids or (new_id() for _ in rows))
        with self.writing() as db:
            for row_id, values in zip(given, rows, strict=True):
                self.insert(db, table, {"id": row_id, "root": row_id}, self._checked(table, values))
        self.keep_twins((table,))
        return given

    def correct(self, table: str, name: str, why: str, **changes: Any) -> str:
        """Write what holds now in place of a row, which stays as it was.

        Parameters
        ----------
        table : str
        name : str
            The row's id, or what people call it.
        why : str
            The reason; it must say something.
        **changes
            The columns that are other now.

        Returns
        -------
        str
            The id of the correction.

        Raises
        ------
        UnknownNameError, QuantityError, NoticeError
            As `add`; and QuantityError where no reason is given or nothing would change.
        """
        return self._follow(table, name, why, changes, withdrawn=False)

    def withdraw(self, table: str, name: str, why: str) -> str:
        """Take a row back: it stays in the log and no longer counts. Parameters and errors as `correct`."""
        return self._follow(table, name, why, {}, withdrawn=True)

    def now(self, table: str, **where: Any) -> list[dict[str, Any]]:
        """The rows of a table that hold now, in the order they were begun, where the columns hold what is given."""
        columns = columns_of(table)
        known = {**columns, "id": Column("id")}
        for name in where:
            if name not in known:
                raise UnknownNameError(f'the table "{table}" has no "{name}"; {near_miss(name, list(known))}')
        asked = {n: self._named(known[n], v) if known[n].table else v for n, v in where.items()}
        clause = " AND ".join(f'"{name}" IS ?' for name in asked)
        sql = f"SELECT * FROM now_{table}" + (f" WHERE {clause}" if clause else "") + " ORDER BY began"
        return [dict(row) for row in self._read(sql, tuple(asked.values()))]

    def history(self, table: str, name: str) -> list[dict[str, Any]]:
        """A row and its corrections, the oldest first, with why and when."""
        root = self.root_of(table, name)
        return [dict(r) for r in self._read(f"SELECT * FROM {table} WHERE root = ? ORDER BY seq", (root,))]

    def ask(self, sql: str, values: Sequence[Any] = ()) -> list[dict[str, Any]]:
        """Rows of a query over the tables and views."""
        return [dict(r) for r in self._read(sql, tuple(values))]

    def broken_links(self) -> list[tuple[str, int]]:
        """Table and place of every row whose hash does not follow from it and the row before it."""
        found = []
        for table, columns in TABLES.items():
            before = ""
            for row in self._read(f"SELECT * FROM {table} ORDER BY seq", ()):
                if row["chain"] != link(before, dict(row), columns):
                    found.append((table, row["seq"]))
                before = row["chain"]
        return found

    def counts(self) -> dict[str, int]:
        """Rows that hold now, by table."""
        return {t: self._read(f"SELECT count(*) AS n FROM now_{t}", ())[0]["n"] for t in TABLES}

    def _follow(self, table: str, name: str, why: str, changes: Mapping[str, Any], *, withdrawn: bool) -> str:
        if not why.strip():
            raise QuantityError("a correction needs a reason: say why it is corrected")
        checked, made = self._checked(table, changes, whole=False), new_id()
        with self.writing() as db:
            root = self.root_of(table, name)
            last = db.execute(f"SELECT * FROM {table} WHERE root = ? ORDER BY seq DESC LIMIT 1", (root,)).fetchone()
            if last["withdrawn"]:
                raise QuantityError(f'"{short(name)}" was taken back ({last["why"]}); write it anew instead')
            old = {c: last[c] for c in columns_of(table)}
            if not withdrawn and {**old, **checked} == old:
                raise QuantityError("nothing would change by this correction")
            kept = {"id": made, "root": root, "corrects": last["id"], "withdrawn": int(withdrawn), "why": why.strip()}
            self.insert(db, table, kept, {**old, **checked})
        self.keep_twins((table,))
        return made

    def insert(self, db: sqlite3.Connection, table: str, kept: Mapping[str, Any], values: Mapping[str, Any]) -> None:
        """Write one row within a change that is open (`writing`): `kept` are the columns of every table."""
        if (name := NAMES.get(table)) and not kept.get("withdrawn"):
            other = db.execute(f'SELECT id FROM now_{table} WHERE "{name}" = ?', (values[name],)).fetchone()
            if other and other["id"] != kept["root"]:
                raise QuantityError(f'there is a {table} called "{short(values[name])}" already; choose another name')
        last = db.execute(f"SELECT seq, chain FROM {table} ORDER BY seq DESC LIMIT 1").fetchone()
        row = {"seq": (last["seq"] if last else 0) + 1, "corrects": None, "withdrawn": 0, "why": "", **kept, **values}
        row["entered_at"] = kept.get("entered_at") or f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%S.%f}"[:23] + "Z"
        row["chain"] = link(last["chain"] if last else "", row, TABLES[table])
        names = ", ".join(f'"{n}"' for n in row)
        db.execute(f"INSERT INTO {table} ({names}) VALUES ({', '.join('?' * len(row))})", tuple(row.values()))

    def _checked(self, table: str, values: Mapping[str, Any], *, whole: bool = True) -> dict[str, Any]:
        columns = columns_of(table)
        for name in values:
            if name not in columns:
                raise UnknownNameError(f'the table "{table}" has no "{name}"; {near_miss(name, list(columns))}')
        asked = columns.values() if whole else [columns[name] for name in values]
        return {c.name: self._fits(table, c, values.get(c.name)) for c in asked}

    def _fits(self, table: str, column: Column, value: Any) -> Any:
        named = fitting(table, column, value)
        return self._named(column, named) if column.table and named is not None else named

    def _named(self, column: Column, value: Any) -> str:
        return self.root_of(column.table, str(value))

    def root_of(self, table: str, name: str) -> str:
        """The id that a row began with, by its id or what people call it; raises UnknownNameError."""
        called = NAMES.get(table)
        columns_of(table)
        rows = self._read(f"SELECT root FROM {table} WHERE id = ?", (name,))
        if not rows and called:
            rows = self._read(f'SELECT id AS root FROM now_{table} WHERE "{called}" = ?', (name.strip(),))
        if rows:
            return rows[0]["root"]
        known = [r["name"] for r in self._read(f'SELECT "{called}" AS name FROM now_{table}', ())] if called else []
        raise UnknownNameError(f'the bench log has no {table} "{short(name)}"; {near_miss(name, known)}')

    def _read(self, sql: str, values: tuple[Any, ...]) -> list[sqlite3.Row]:
        if odd := next((v for v in values if isinstance(v, str) and not can_be_kept(v)), None):
            raise UnknownNameError(
                f'nothing in the bench log is called "{short(odd)}": it holds signs that no file can hold'
            )
        try:
            return self.db.execute(sql, values).fetchall()
        except TROUBLE as error:
            raise refused(self.path, error) from error

    @contextlib.contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One change, kept whole or not at all; raises NoticeError where it cannot be written."""
        if not self.may_write:
            raise NoticeError(f"nothing was written to {self.path.name}: its folder or file may not be written")
        try:
            self.db.execute("BEGIN IMMEDIATE")
            try:
                yield self.db
                self.db.execute("COMMIT")
            except BaseException:
                if self.db.in_transaction:
                    self.db.execute("ROLLBACK")
                raise
        except TROUBLE as error:
            raise refused(self.path, error) from error

    def keep_twins(self, tables: Sequence[str]) -> None:
        """Append to the tables beside the log what they lack."""
        with contextlib.suppress(OSError, *TROUBLE):  # the twin is caught up with at the next opening
            catch_up(self.db, self.path, tables)
