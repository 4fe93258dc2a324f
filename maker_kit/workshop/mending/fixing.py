"""Near misses in a workshop's tables: what was probably meant, and writing it where the maker agrees."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path

from maker_kit.errors import Fault, NoticeError, WorkshopError
from maker_kit.names import close_names, name_key
from maker_kit.workshop.beside import is_book, tables_in
from maker_kit.workshop.csv.cells import CLOSE_WORD
from maker_kit.workshop.csv.columns import TableSpec
from maker_kit.workshop.csv.kept import KeptTable
from maker_kit.workshop.csv.tables import LINES, STEPS, TABLES
from maker_kit.workshop.loading import load_workshop
from maker_kit.workshop.making import refuse_demo, without_tilde
from maker_kit.workshop.own_prices import new_backup, put_with_copies
from maker_kit.workshop.saving import file_bytes
from maker_kit.workshop.xlsx.saving import BookToSave

_BY_FILE = {spec.file: spec for spec in TABLES}


@dataclass(frozen=True)
class Fix:
    """One change that is proposed.

    Attributes
    ----------
    file : str
    row : int
        As a spreadsheet shows it; 1 for a heading.
    column : str
        The column's heading as it stands.
    old, new : str
        As a sentence quotes what stands there, and what is written in its place.
    where : str
        The place in words: table, row and column, or sheet and cell.
    """

    file: str
    row: int
    column: str
    old: str
    new: str
    where: str

    @property
    def is_heading(self) -> bool:
        """Whether a heading is changed."""
        return self.row == 1

    def sentence(self) -> str:
        """The change in one line."""
        return f'{self.where}: {self.old} -> "{self.new}"'


@dataclass(frozen=True)
class Proposal:
    """What is proposed for a workshop.

    Attributes
    ----------
    where : Path
        Its folder or workbook.
    fixes : tuple of Fix
    before : dict of str to bytes
        The files that would change, as they are; the workbook's under its own name.
    faults : tuple of Fault
        All faults, those without a proposal too.
    """

    where: Path
    fixes: tuple[Fix, ...]
    before: dict[str, bytes]
    faults: tuple[Fault, ...]


def propose(folder: str | Path) -> Proposal:
    """The near misses of a workshop: names, words of a list, headings.

    Parameters
    ----------
    folder : str or Path
        A folder or a workbook.

    Returns
    -------
    Proposal
        Without fixes where nothing is near what is on file.

    Raises
    ------
    NoticeError
        If a table cannot be read.
    WorkshopError
        If there is no such workshop.
    """
    where = tables_in(without_tilde(folder))
    try:
        load_workshop(where)
    except WorkshopError as error:
        faults = error.faults
    else:
        return Proposal(where, (), {}, ())
    fixes: dict[tuple[str, int, str], Fix] = {}
    for fault in faults:
        if fault.row is not None and _spec(fault.file) is not None and _is_plain(fault):
            fixes.setdefault((fault.file, fault.row, fault.column), _fix(fault))
    if is_book(where):
        before = {where.name: file_bytes(where)} if fixes else {}
    else:
        before = {file: file_bytes(where / file) for file in dict.fromkeys(fix.file for fix in fixes.values())}
    return Proposal(where, tuple(fixes.values()), before, faults)


def _is_plain(fault: Fault) -> bool:
    """Whether it is plain what was meant: a name much like it, with the same digits, and no other as like."""
    text = fault.column if fault.row == 1 else fault.found.strip('"')
    if not fault.meant or not fault.known:
        return bool(fault.meant)
    folded = {name_key(name) for name in fault.known}
    if name_key(fault.meant) not in folded:  # words that stand for another, such as fragrance for scent
        return True
    if re.findall(r"[0-9]", text) != re.findall(r"[0-9]", fault.meant):
        return False
    likest = close_names(name_key(text), folded, 2, CLOSE_WORD)
    ratio = [SequenceMatcher(None, name, name_key(text)).ratio() for name in likest]
    return bool(likest) and (len(likest) == 1 or ratio[0] > ratio[1])


def _fix(fault: Fault) -> Fix:
    where = (fault.place or f"{fault.file}, row {fault.row}") + f", column {fault.column!r}"
    old = f'the heading "{fault.column}"' if fault.row == 1 else fault.found
    return Fix(fault.file, fault.row or 1, fault.column, old, fault.meant, where)


def _spec(file: str) -> TableSpec | None:
    if file.startswith("recipes/"):
        return STEPS if file.endswith(STEPS.file) else LINES
    return _BY_FILE.get(file)


def write_fixes(proposal: Proposal) -> Path:
    """Write all changes of a proposal, the tables as they were kept in a new folder of backups.

    Returns
    -------
    Path
        The folder with the copies.

    Raises
    ------
    NoticeError
        If the workshop is the demo's, a table has changed since, or cannot be written. Nothing was changed then.
    """
    where = proposal.where
    refuse_demo(where)
    if is_book(where):
        return _into_book(where, proposal)
    after = {file: _changed(where / file, raw, file, proposal.fixes) for file, raw in proposal.before.items()}
    return put_with_copies(where, proposal.before, after)


def _changed(path: Path, raw: bytes, file: str, fixes: Iterable[Fix]) -> bytes:
    spec = _spec(file)
    assert spec is not None
    mine = [fix for fix in fixes if fix.file == file]
    for fix in sorted(mine, key=lambda f: f.is_heading):  # cells are found by the heading that stands there
        raw = KeptTable.of(raw, spec).with_cell(fix.row, fix.column, fix.new, path)
    return raw


def _into_book(where: Path, proposal: Proposal) -> Path:
    book = BookToSave.of(where)
    if book.book.raw != proposal.before[where.name]:
        raise NoticeError(f"{where.name} has been changed meanwhile, so nothing was written; run it again")
    made = book.with_cells((fix.file, fix.row, fix.column, fix.new) for fix in proposal.fixes)
    backup = new_backup(where.parent)
    book.put(made, backup)
    return backup
