"""Several files of a folder that change together or not at all, whatever ends the program in between."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path

from maker_kit.errors import NoticeError, path_text
from maker_kit.scratch import clear_dead, dead, room

READY = "ready.json"
"""In a scratch folder: what stands there is whole, and where it goes. Whoever finds it, finishes it."""


def put_together(folder: Path, kind: str, files: Mapping[str, bytes]) -> list[Path]:
    """Write several files of a folder, all or none.

    They are written into a scratch folder first, with a list of where they go; then each takes its place. A program
    that is ended in between leaves the list, and `finish_begun` does the rest.

    Parameters
    ----------
    folder : pathlib.Path
    kind : str
        What it is for, such as ``save``: how the scratch folder is called.
    files : Mapping of str to bytes
        Content by its place in the folder, such as ``recipes/hand-wash.csv``.

    Returns
    -------
    list of pathlib.Path

    Raises
    ------
    NoticeError
        If a file is held by another program, or cannot be written. All are then as they were.
    """
    name = next(iter(files))
    try:
        finish_begun(folder, kind)
        with room(kind, folder) as made:
            before = {}
            for name in files:
                target = folder / name
                if target.exists():
                    with target.open("ab"):
                        pass  # a program that holds it is met before anything is changed
                before[name] = target.read_bytes() if target.exists() else None
            for place, content in enumerate(files.values()):
                (made / str(place)).write_bytes(content)
            _promise(made, before, files)
            try:
                for place, name in enumerate(files):
                    _into_place(made / str(place), folder / name)
            except BaseException:
                _take_back(folder, before)
                (made / READY).unlink(missing_ok=True)
                raise
            (made / READY).unlink()
    except OSError as error:
        raise NoticeError(
            f"{name} cannot be written ({error.strerror or error}), so nothing was changed: if a spreadsheet or "
            "another program has it open, close it there; else look whether the folder may be written to and has room"
        ) from error
    return [folder / name for name in files]


@contextlib.contextmanager
def filling(to: Path, what: str) -> Iterator[None]:
    """Make a folder where it is not there yet, and fill it; what hinders that is said in one sentence.

    Parameters
    ----------
    to : pathlib.Path
    what : str
        What is written, such as ``the report``.

    Raises
    ------
    NoticeError
        If it cannot be made or written to.
    """
    try:
        try:
            to.mkdir(parents=True, exist_ok=True)
        except ValueError as error:  # a NUL in its name
            raise OSError(str(error)) from error
        yield
    except OSError as error:
        why = error.strerror or error
        raise NoticeError(
            f'{what} cannot be written to "{path_text(to)}": {why}; choose another folder with --to'
        ) from error


def finish_begun(folder: Path, kind: str) -> None:
    """Do what a program that was ended had begun to put in place, and clear its scratch. A file that somebody changed
    since then stays as it is, and nothing of that change is made.
    """
    for made in tuple(dead(kind, folder)):
        with contextlib.suppress(OSError, ValueError, KeyError, TypeError, AttributeError):
            _finish(made, folder)
    clear_dead(kind, folder)


def _promise(made: Path, before: Mapping[str, bytes | None], files: Mapping[str, bytes]) -> None:
    listed = [
        {"file": name, "before": None if before[name] is None else _digest(before[name]), "after": _digest(files[name])}
        for name in files
    ]
    part = made / f"{READY}.part"
    with part.open("w", encoding="utf-8") as file:
        json.dump(listed, file)
        file.flush()
        os.fsync(file.fileno())
    part.replace(made / READY)


def _finish(made: Path, folder: Path) -> None:
    listed = json.loads((made / READY).read_text(encoding="utf-8"))
    moves = []
    for place, row in enumerate(listed):
        name = Path(row["file"])
        if name.is_absolute() or ".." in name.parts:
            return
        target = folder / name
        now = _digest(target.read_bytes()) if target.exists() else None
        if now == row["after"]:
            continue
        new = made / str(place)
        if now != row["before"] or not new.is_file() or _digest(new.read_bytes()) != row["after"]:
            return
        moves.append((new, target))
    for new, target in moves:
        _into_place(new, target)


def _into_place(new: Path, target: Path) -> None:
    target.parent.mkdir(exist_ok=True)
    target = target.resolve() if target.is_symlink() else target
    new.chmod(0o644)
    try:
        new.replace(target)
    except OSError:
        if target.parent.stat().st_dev == new.stat().st_dev:
            raise
        shutil.copyfile(new, target)  # a link leads to another disk


def _take_back(folder: Path, before: Mapping[str, bytes | None]) -> None:
    for name, content in before.items():
        target = folder / name
        with contextlib.suppress(OSError):
            if content is None:
                target.unlink(missing_ok=True)
            elif target.read_bytes() != content:
                target.write_bytes(content)


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
