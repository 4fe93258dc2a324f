"""The runs of a workshop, one file each in its folder ``trials``: read, kept append-only, and results taken in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from pathlib import Path

from maker_kit.errors import MakerKitError, NoticeError, WorkshopError
from maker_kit.names import name_key
from maker_kit.numbers import with_point
from maker_kit.trial.card import TargetCard
from maker_kit.trial.journal import Entry
from maker_kit.trial.run import ANSWER, TrialRun, enter, run_of
from maker_kit.workshop.csv.faults import FaultBook, shown
from maker_kit.workshop.csv.records import Record, read_records
from maker_kit.workshop.csv.tables import RESULTS, RUN, RUN_FOLDER
from maker_kit.workshop.csv.writing import write_table
from maker_kit.workshop.making import refuse_demo, without_tilde
from maker_kit.workshop.recipe_lines import NAME_RULE, is_recipe_name

_COMMA = re.compile("-?[0-9]+,[0-9]+")
Row = tuple[int, str, str, str]
"""Taster or pair, code, value, note."""


def run_file(name: str) -> str:
    """The file of a run, relative to the workshop's folder."""
    return f"{RUN_FOLDER}/{name}{RUN.file}"


def read_runs(folder: Path, book: FaultBook) -> tuple[TrialRun, ...]:
    """The runs in a workshop's folder, by the day they were planned and by name; what is wrong goes to the book."""
    try:
        files = sorted((folder / RUN_FOLDER).glob(f"*{RUN.file}"))
    except OSError:
        files = []
    found = [run for path in files if not path.name.startswith(".") and (run := _read(folder, path.stem, book))]
    return tuple(sorted(found, key=lambda run: (run.plan.planned_on, run.name)))


def _read(folder: Path, name: str, book: FaultBook) -> TrialRun | None:
    file, before = run_file(name), len(book.faults)
    records = read_records(folder, RUN, book, file)
    if len(book.faults) > before or not records.readable:
        return None
    entries = [_entry(r) for r in records]
    try:
        run = run_of(entries)
    except MakerKitError as error:
        book.add(file, None, "", str(error), "the plan as it was kept", "put the file back as it was")
        return None
    if name_key(run.name) != name_key(name):
        book.add(file, None, "", f"a run called {shown(run.name)}", "the file's own name", "give the file its name")
        return None
    return run


def _entry(r: Record) -> Entry:
    """One row, with a decimal comma that a spreadsheet program put in as a point."""
    value = with_point(r["value"]) if _COMMA.fullmatch(r["value"]) else r["value"]
    return Entry(r["number"] or 0, r["day"], r["act"] or "result", r["place"], r["what"], value, r["note"], r["seal"])


def save_run(folder: str | Path, run: TrialRun) -> Path:
    """Keep a run in its file; what stands there already is only added to.

    Parameters
    ----------
    folder : str or Path
        The workshop's folder.
    run : TrialRun

    Returns
    -------
    Path

    Raises
    ------
    NoticeError
        If the workshop is the demo's, the run's name is none for a file, entries that are kept are not in it, an entry
        was changed, or the file cannot be written.
    WorkshopError
        If its file cannot be read.
    """
    folder = without_tilde(folder)
    refuse_demo(folder)
    if not is_recipe_name(run.name):
        raise NoticeError(f"a run cannot be called {shown(run.name)}: {NAME_RULE}; write it such as rub-in-1")
    if run.broken_at is not None:
        raise NoticeError(f"entry {run.broken_at} of {run.name} was changed after it was kept: nothing is written")
    path = folder / run_file(run.name)
    kept = read_run(folder, run.name).sealed_entries if path.exists() else ()
    if tuple(run.entries[: len(kept)]) != tuple(kept):
        raise NoticeError(
            f"{run_file(run.name)} holds entries that are not in this run, and nothing is overwritten: read it again"
        )
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise NoticeError(f"{path.parent} cannot be made: {error.strerror or error}; nothing was written") from error
    rows = ((e.number, e.day, e.act, e.place, e.what, e.value, e.note, e.seal) for e in run.entries)
    return write_table(path, [RUN.headings, *rows])


def read_run(folder: str | Path, name: str) -> TrialRun:
    """One run of a workshop, as it stands in its file. Raises WorkshopError with every fault of it."""
    book = FaultBook()
    run = _read(without_tilde(folder), name, book)
    if run is None:
        raise WorkshopError(book.faults)
    return run


def result_rows(path: str | Path) -> tuple[Row, ...]:
    """Results of a file of one's own: place (taster or pair), code, value, note.

    Raises
    ------
    WorkshopError
        With every fault of the file.
    """
    path, book = without_tilde(path), FaultBook()
    records = read_records(path.parent, RESULTS, book, path.name)
    if book.faults:
        raise WorkshopError(book.faults)
    return tuple((r["place"], r["code"] or ANSWER, r["value"], r["note"]) for r in records)


def take_in(run: TrialRun, card: TargetCard, day: date, rows: Iterable[Row]) -> TrialRun:
    """The run with several results more, all of them or none.

    Raises
    ------
    MakerKitError
        As `enter`, at the first row that cannot be taken.
    """
    for place, code, value, note in rows:
        run = enter(run, card, day, place, value, code, note)
    return run


def take_in_typed(run: TrialRun, card: TargetCard) -> TrialRun:
    """The run with the rows at its end taken in that were typed into its file by hand. Raises as `enter`."""
    typed: Sequence[Entry] = run.entries[len(run.sealed_entries) :]
    found = TrialRun(run.plan, run.sealed_entries)
    for entry in typed:
        found = enter(found, card, entry.day, entry.place or 0, entry.value, entry.what or ANSWER, entry.note)
    return found
