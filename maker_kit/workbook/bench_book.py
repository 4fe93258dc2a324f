"""The bench log that a notebook works with: the maker's own, or, for the demo workshop, invented records in a folder
that is gone when the notebook ends.
"""

from __future__ import annotations

import shutil
import weakref
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from maker_kit.bench.demo_log import TODAY, fill_demo_log
from maker_kit.bench.log import FILE, BenchLog, open_log
from maker_kit.bench.log.mending import where_it_stands
from maker_kit.scratch import clear_dead, new_room
from maker_kit.workshop import Workshop
from maker_kit.workshop.making import is_demo

DEMOS = "These records are the demo's, all invented; what you write here is gone when you close it."
NONE_YET = "Your bench log is empty: it begins with the first thing you write down."


class BenchBook:
    """A workshop's bench log, opened when it is first asked for and made when something is first written.

    Parameters
    ----------
    workshop : Workshop

    Attributes
    ----------
    workshop : Workshop
    is_demo : bool
        Whether the records are the demo's.
    """

    def __init__(self, workshop: Workshop) -> None:
        self.workshop = workshop
        self.is_demo = is_demo(workshop.folder)
        self._log: BenchLog | None = None
        self._end: Callable[[], object] = lambda: None

    @property
    def today(self) -> date:
        """Today; for the demo, the day on which its records end."""
        return TODAY if self.is_demo else date.today()

    @property
    def said(self) -> str:
        """What is to be said of whose records these are, and of where one's own stand; empty where that is nothing."""
        if self.is_demo:
            return DEMOS
        if self.log is None:
            return NONE_YET
        return " ".join(f"▲ {f.text} {f.next_step}".strip() for f in where_it_stands(self.log))

    @property
    def log(self) -> BenchLog | None:
        """The log to read; None where nothing was written yet.

        Raises
        ------
        MakerKitError
            If it is damaged or belongs to another program.
        """
        if self._log is None and (self.is_demo or (self.workshop.folder / FILE).is_file()):
            self._open()
        return self._log

    def to_write(self) -> BenchLog:
        """The log to write to, made where there is none.

        Raises
        ------
        MakerKitError
            If it cannot be made or written.
        """
        return self.log or self._open()

    def close(self) -> None:
        """Close the log; the demo's is gone then."""
        self._end()
        self._log = None

    def _open(self) -> BenchLog:
        clear_dead("maker-bench")
        passing = new_room("maker-bench") if self.is_demo else None
        self._log = open_log(passing or self.workshop.folder, make=True)
        self._end = weakref.finalize(self._log, _end, self._log.db, passing)
        if passing is not None:
            fill_demo_log(self._log, self.workshop.recipes)
        return self._log


def _end(db: Any, passing: Path | None) -> None:
    db.close()
    if passing is not None:
        shutil.rmtree(passing, ignore_errors=True)
