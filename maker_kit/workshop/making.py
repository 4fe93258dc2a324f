"""Making a workshop of one's own from the demo; nothing is ever overwritten, and nothing is left half made."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from maker_kit.errors import NoticeError, path_text
from maker_kit.workshop.csv.cells import INVENTED
from maker_kit.workshop.csv.columns import TableSpec
from maker_kit.workshop.csv.kept import KeptTable
from maker_kit.workshop.csv.tables import TABLES, WORKSHOP
from maker_kit.workshop.csv.told import tables_text
from maker_kit.workshop.xlsx.sheets import BOOK

REFERENCE = "TABLES.md"
"""File of a new workshop that says what every column means; nothing is read from it."""


def demo_folder() -> Path:
    """The folder of the demo workshop.

    Raises
    ------
    NoticeError
        If it is not beside the package.
    """
    folder = Path(__file__).resolve().parents[2] / "data"
    if not (folder / "workshop.csv").is_file():
        raise NoticeError(
            f"the demo workshop is not where it belongs ({folder}): name your own workshop's folder, "
            "or take the workbook's folder again from where it came"
        )
    return folder


def is_demo(path: Path) -> bool:
    """Whether a path is the demo workshop or lies in it. NoticeError as `demo_folder`."""
    return path.resolve().is_relative_to(demo_folder().resolve())


def refuse_demo(path: Path, instead: str = "make one of your own with maker-kit new my-workshop") -> None:
    """Nothing is written into the demo workshop: NoticeError, with what to do instead, where a path lies in it."""
    if is_demo(path):
        raise NoticeError(f"the demo workshop stays as it is: {instead}")


def without_tilde(path: str | Path) -> Path:
    """The path with a leading ``~`` written out; one that names nobody stays as it is."""
    try:
        return Path(path).expanduser()
    except RuntimeError:
        return Path(path)


def from_here(path: str | Path) -> Path:
    """The whole path, from the folder that the command was typed in. NoticeError where that folder is gone."""
    try:
        return without_tilde(path).absolute()
    except OSError as error:
        raise NoticeError(
            f"the folder that this command was typed in is not there any more ({error.strerror or error}); "
            "go to another, or give whole paths"
        ) from error


def new_workshop(folder: str | Path, *, empty: bool = False, xlsx: bool = False) -> Path:
    """Make a workshop from the demo's tables. Every price in it is marked as invented, until it is written over.

    Parameters
    ----------
    folder : str or Path
        A folder that does not exist yet, or is empty.
    empty : bool
        Whether the tables hold their headings only, and the settings of the workshop.
    xlsx : bool
        Whether the tables are the sheets of one workbook, ``workshop.xlsx``; the runs of trials stay files.

    Returns
    -------
    Path
        The folder.

    Raises
    ------
    NoticeError
        If the folder holds something, is a file, stands in a folder that does not exist, or cannot be written to;
        or the folder that the command was typed in is gone. Nothing has been changed then.
    """
    target = without_tilde(folder)
    from_here(target)
    made: Path | None = None
    try:
        _refuse(target)
        made = Path(tempfile.mkdtemp(prefix=f".{target.name or 'workshop'}-", dir=target.resolve().parent))
        copy_tables(demo_folder(), made)
        if empty:
            _empty(made)
        else:
            _mark(made)
            _copy(demo_folder(), made, "photos/*.png")
        if xlsx:
            _as_workbook(made)
        (made / REFERENCE).write_text(tables_text(), encoding="utf-8")
        (made / REFERENCE).chmod(0o644)
        if target.is_dir():
            _fill(target, made)
        else:
            made.chmod(0o755)
            made.rename(target)
    except (OSError, ValueError) as error:
        raise NoticeError(
            f"the workshop cannot be made at {path_text(target)}: {getattr(error, 'strerror', None) or error}; "
            "nothing was changed. Choose a folder that you may write to"
        ) from error
    finally:
        if made is not None and made.exists():
            shutil.rmtree(made, ignore_errors=True)
    return target


def _refuse(target: Path) -> None:
    if target.is_symlink() and not target.exists():
        raise NoticeError(
            f"{path_text(target)} is a link to something that does not exist; nothing was changed. Choose another name"
        )
    if target.exists() and not target.is_dir():
        raise NoticeError(
            f"{path_text(target)} is a file, and a workshop is a folder; nothing was changed. Choose another name"
        )
    if target.is_dir() and (first := next(target.iterdir(), None)) is not None:
        raise NoticeError(
            f'{path_text(target)} is not empty (it holds "{first.name}"), and nothing is ever overwritten. '
            "Choose a name that is not taken yet"
        )
    parent = target.resolve().parent
    if not parent.is_dir():
        found = "is a file" if parent.exists() else "does not exist"
        raise NoticeError(
            f"{path_text(target)} cannot be made, since {path_text(parent)} {found}. Make that first, or choose another"
        )


def copy_tables(folder: Path, made: Path) -> None:
    """Copy the tables of a workshop into a folder that is there and empty, hidden files left out. Raises OSError."""
    (made / "recipes").mkdir()
    _copy(folder, made, "*.csv", "recipes/*.csv", "trials/*.csv")


def _copy(folder: Path, made: Path, *kinds: str) -> None:
    for file in sorted(file for kind in kinds for file in folder.glob(kind)):
        if not file.name.startswith("."):
            copy = made / file.relative_to(folder)
            copy.parent.mkdir(exist_ok=True)
            copy.write_bytes(file.read_bytes())
            copy.chmod(0o644)


def _empty(folder: Path) -> None:
    """Leave the headings of every table, and the rows of the settings. Raises OSError."""
    shutil.rmtree(folder / "trials", ignore_errors=True)
    for file in folder.glob("recipes/*.csv"):
        file.unlink()
    for spec in TABLES:
        if spec is not WORKSHOP:
            (folder / spec.file).write_bytes(_rewritten(folder / spec.file, spec, rows=False))


def _mark(folder: Path) -> None:
    """Write behind every price that it is invented. Raises OSError."""
    for spec in TABLES:
        if any(column.kind == "money" for column in spec.columns):
            (folder / spec.file).write_bytes(_rewritten(folder / spec.file, spec, rows=True))


def _as_workbook(folder: Path) -> None:
    """Put one workbook in the place of the tables. Raises OSError."""
    from maker_kit.workshop.xlsx.writing import workbook_of

    (folder / BOOK).write_bytes(workbook_of(folder))
    (folder / BOOK).chmod(0o644)
    for file in (*folder.glob("*.csv"), *folder.glob("recipes/*.csv")):
        file.unlink()
    (folder / "recipes").rmdir()


def _rewritten(path: Path, spec: TableSpec, *, rows: bool) -> bytes:
    kept = KeptTable.of(path.read_bytes(), spec)
    return (
        kept.with_word(INVENTED, "money", path, without="invented for the demo") if rows else kept.headings_only(path)
    )


def _fill(target: Path, made: Path) -> None:
    """Move the new tables into a folder that is there and empty; what was moved is taken back if something is in the
    way.
    """
    moved: list[Path] = []
    try:
        for item in sorted(made.iterdir()):
            place = target / item.name
            _free(place)
            item.rename(place)
            moved.append(place)
    except OSError:
        for place in moved:
            place.rename(made / place.name)
        raise


def _free(place: Path) -> None:
    if place.exists() or place.is_symlink():
        raise FileExistsError(f"{place} has come into being meanwhile")
