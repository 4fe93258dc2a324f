"""Sentences for what SQLite refuses, and the fault of a log that cannot be trusted."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from maker_kit.errors import NoticeError

WAIT_S = 10.0
"""How long a writer waits for another [s]: two writers of 400 changes each lost none with it (measured)."""
_FULL = {"SQLITE_FULL": "the disk is full", "SQLITE_IOERR": "the disk could not be written"}
_SAID = {
    **_FULL,
    "SQLITE_READONLY": "its folder or file may not be written",
    "SQLITE_CANTOPEN": "its folder or file may not be written",
    "SQLITE_BUSY": f"something else has been writing it for {WAIT_S:g} seconds",
    "SQLITE_LOCKED": f"something else has been writing it for {WAIT_S:g} seconds",
    "SQLITE_PERM": "its folder or file may not be written",
    "SQLITE_AUTH": "its folder or file may not be written",
}
_DAMAGED = {"SQLITE_CORRUPT", "SQLITE_NOTADB"}


TROUBLE = (sqlite3.DatabaseError, UnicodeDecodeError)
"""What SQLite raises; the second where a name in the file's own schema was spoilt, which its message cannot hold."""


class DamagedLogError(NoticeError):
    """A bench log that cannot be trusted as it is; `maker_kit.bench.log.mending.mend_log` sets it aside."""


def damage(path: Path, how: str) -> str:
    """What is said of a damaged log."""
    return (
        f"{path.name} is damaged: {how}. Nothing was written. `maker-kit log --mend` sets it aside under another name "
        "and brings back what the tables beside it hold"
    )


def refused(path: Path, error: sqlite3.DatabaseError | UnicodeDecodeError) -> NoticeError:
    """The sentence for what SQLite refused."""
    name = getattr(error, "sqlite_errorname", "") or ""
    base = "_".join(name.split("_")[:2])
    if base in _DAMAGED or isinstance(error, UnicodeDecodeError):
        return DamagedLogError(damage(path, "a page cannot be read"))
    if base == "SQLITE_CONSTRAINT":
        return NoticeError(f"nothing was written to {path.name}: a rule of the log forbids it ({error})")
    return NoticeError(f"nothing was written to {path.name}: {_SAID.get(base, error)}; what was there is kept")
