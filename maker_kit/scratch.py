"""Scratch folders that say whose they are, so that those of programs that were ended are cleared by the next."""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

LONG_S = 86_400.0
"""Where nobody can tell whether a program still runs, its scratch of this age counts as left [s]."""
_NAME = re.compile(r"\.?(?P<kind>[a-z-]+)-(?P<pid>[0-9]+)-[^/]*")


def prefix(kind: str) -> str:
    """How the name of a scratch file or folder of this program begins."""
    return f"{kind}-{os.getpid()}-"


def new_room(kind: str, folder: Path | None = None) -> Path:
    """A new scratch folder that only this user may enter. Raises OSError where none can be made.

    Parameters
    ----------
    kind : str
        What it is for, small letters and hyphens.
    folder : pathlib.Path, optional
        Where; hidden there. The system's place for scratch unless given.
    """
    return Path(tempfile.mkdtemp(prefix=("." if folder else "") + prefix(kind), dir=folder))


@contextlib.contextmanager
def room(kind: str, folder: Path | None = None) -> Iterator[Path]:
    """A scratch folder for the time of a with statement, those of dead programs cleared first. Raises OSError."""
    clear_dead(kind, folder)
    made = new_room(kind, folder)
    try:
        yield made
    finally:
        shutil.rmtree(made, ignore_errors=True)


def dead(kind: str, folder: Path | None = None) -> Iterator[Path]:
    """Scratch of that kind whose program has ended."""
    place = Path(tempfile.gettempdir()) if folder is None else folder
    with contextlib.suppress(OSError):
        for path in sorted(place.glob(("." if folder else "") + f"{kind}-*")):
            named = _NAME.fullmatch(path.name)
            if named and named["kind"] == kind and not _runs(int(named["pid"]), path):
                yield path


def clear_dead(kind: str, folder: Path | None = None, clear: Callable[[Path], object] | None = None) -> None:
    """Take away what programs that were ended left.

    Parameters
    ----------
    kind, folder
        As in `new_room`.
    clear : callable, optional
        What takes one folder away; it may keep it.
    """
    for path in dead(kind, folder):
        with contextlib.suppress(OSError):
            if clear is not None:
                clear(path)
            elif path.is_dir() and not path.is_symlink():
                shutil.rmtree(path, ignore_errors=True)
            else:
                path.unlink()


def _runs(pid: int, path: Path) -> bool:
    """Whether the program of that number still runs; where the system cannot be asked, whether its scratch is new."""
    if pid == os.getpid():
        return True
    if sys.platform == "win32":
        with contextlib.suppress(OSError):
            return time.time() - path.stat().st_mtime < LONG_S
        return True
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
