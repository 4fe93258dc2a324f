"""The notebooks that a maker opens are copies: what she changed in one is kept, and one that she did not change follows
the workbook.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from maker_kit.errors import NoticeError

COPIES = "notebooks"
"""Folder of a workshop, or of a scratch folder, that the copies stand in."""
RECORD = ".copies.json"
"""Kept beside the copies: the digest of each notebook as it was copied."""
REPORT_NOTEBOOK = "06_costing_report.ipynb"


@dataclass(frozen=True)
class Copies:
    """What a copying came to.

    Attributes
    ----------
    folder : pathlib.Path
        Where the copies are.
    own : tuple of str
        Every notebook of the workbook that stands there.
    changed : tuple of str
        Those that the maker changed; left as they are.
    behind : tuple of str
        Those of the changed ones whose original is another by now.
    """

    folder: Path
    own: tuple[str, ...]
    changed: tuple[str, ...]
    behind: tuple[str, ...]

    @property
    def untouched(self) -> tuple[str, ...]:
        """Those that are byte for byte the workbook's."""
        return tuple(name for name in self.own if name not in self.changed)


def notebook_folder() -> Path:
    """The folder of the notebooks, beside the package.

    Raises
    ------
    NoticeError
        If it is not there.
    """
    folder = Path(__file__).resolve().parents[3] / "notebooks"
    if not (folder / REPORT_NOTEBOOK).is_file():
        msg = (
            f"the notebooks are not where they belong ({folder.name}/{REPORT_NOTEBOOK} beside the package maker_kit); "
            "install from the project's folder with: pip install -e ."
        )
        raise NoticeError(msg)
    return folder


def digest(content: bytes) -> str:
    """What a notebook says, as a digest: its cells' kinds, sources and tags. What a run left under them does not count,
    nor how the file is laid out.

    Parameters
    ----------
    content : bytes
        A notebook file; of one that cannot be read as a notebook the bytes themselves count.

    Returns
    -------
    str
        SHA-256 in hexadecimal.
    """
    try:
        cells = [
            [cell["cell_type"], "".join(cell["source"]), sorted(cell.get("metadata", {}).get("tags", []))]
            for cell in json.loads(content)["cells"]
        ]
        content = json.dumps(cells, sort_keys=True).encode()
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        pass
    return hashlib.sha256(content).hexdigest()


def copy_notebooks(source: Path, folder: Path) -> Copies:
    """Copy the notebooks of one folder into another, which is made if it is not there.

    A copy that says what it said when it was copied is made afresh; any other notebook that stands there under such a
    name is the maker's, and stays. A copy whose original is gone goes too, unless it
    was changed.

    Parameters
    ----------
    source : pathlib.Path
        Folder of the notebooks.
    folder : pathlib.Path
        Folder of the copies.

    Returns
    -------
    Copies

    Raises
    ------
    NoticeError
        If the folder cannot be made or written to. No copy is left half written.
    """
    changed, behind, now = [], [], {}
    try:
        originals = {path.name: path.read_bytes() for path in sorted(source.glob("*.ipynb"))}
        folder.mkdir(exist_ok=True)
        before = _record(folder)
        for name, content in originals.items():
            wanted, there = digest(content), _content(folder / name)
            if there is None or digest(there) in {wanted, before.get(name)}:
                now[name] = wanted
                if there != content:
                    _write(folder / name, content)
                continue
            changed.append(name)
            now[name] = before.get(name, "")
            if now[name] != wanted:
                behind.append(name)
        for name in before.keys() - originals.keys():
            there = _content(folder / name) if Path(name).name == name else None
            if there is not None and digest(there) == before[name]:
                (folder / name).unlink()
        if now != before:
            _write(folder / RECORD, (json.dumps(now, indent=1, sort_keys=True) + "\n").encode())
    except OSError as error:
        msg = (
            f"the notebooks cannot be copied to {folder}: {error.strerror or error}; "
            "make room there, or name a workshop in a folder that you may write to"
        )
        raise NoticeError(msg) from error
    return Copies(folder, tuple(originals), tuple(changed), tuple(behind))


def was_changed(source: Path, folder: Path) -> list[str]:
    """Names of what a maker changed or made in a folder of copies.

    Parameters
    ----------
    source, folder : pathlib.Path
        As in `copy_notebooks`.

    Returns
    -------
    list of str
        Copies that do not say what their originals say, and files that are no copies.
    """
    found = []
    for path in sorted(folder.rglob("*")):
        if not path.is_file() or path.name == RECORD or ".ipynb_checkpoints" in path.parts:
            continue
        original = _content(source / path.name) if path.parent == folder else None
        if original is None or digest(original) != digest(path.read_bytes()):
            found.append(path.relative_to(folder).as_posix())
    return found


def clear_scratch(source: Path, room: Path) -> list[str]:
    """Take a scratch folder away; the copies in it stay if one of them was changed.

    Parameters
    ----------
    source : pathlib.Path
        Folder of the notebooks.
    room : pathlib.Path
        The scratch folder.

    Returns
    -------
    list of str
        What was changed, and is kept.
    """
    changed = was_changed(source, room / COPIES) if (room / COPIES).is_dir() else []
    if not changed:
        shutil.rmtree(room, ignore_errors=True)
    for path in room.iterdir() if changed else ():
        if path.name != COPIES:
            shutil.rmtree(path, ignore_errors=True) if path.is_dir() else path.unlink(missing_ok=True)
    return changed


def _content(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _record(folder: Path) -> Mapping[str, str]:
    """The digests as they were copied; none where the record is gone or spoilt, so that whatever differs counts as
    changed.
    """
    try:
        found = json.loads(_content(folder / RECORD) or b"{}")
    except (ValueError, RecursionError):
        return {}
    return {name: value for name, value in found.items() if isinstance(value, str)} if isinstance(found, dict) else {}


def _write(path: Path, content: bytes) -> None:
    """Write a file in one step."""
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
