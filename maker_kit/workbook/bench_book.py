"""The bench log that a notebook works with: the maker's own, or, for the demo workshop, invented records in a folder
that is gone when the notebook ends.
"""

from __future__ import annotations

import shutil
import tempfile
import weakref
from datetime import date
from pathlib import Path

from maker_kit.bench.demo_log import TODAY, fill_demo_log
from maker_kit.bench.log import FILE, BenchLog, open_log
from maker_kit.workshop import Workshop, demo_folder

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
        self.is_demo = workshop.folder.resolve() == demo_folder().resolve()
        self._held: list[BenchLog] = []
        self._passing = Path(tempfile.mkdtemp(prefix="maker-bench-")) if self.is_demo else None
        self._end = weakref.finalize(self, _end, self._held, self._passing)

    @property
    def today(self) -> date:
        """Today; for the demo, the day on which its records end."""
        return TODAY if self.is_demo else date.today()

    @property
    def said(self) -> str:
        """What is to be said of whose records these are; empty for a maker's own with something in it."""
        return DEMOS if self.is_demo else "" if self.log else NONE_YET

    @property
    def log(self) -> BenchLog | None:
        """The log to read; None where nothing was written yet.

        Raises
        ------
        MakerKitError
            If it is damaged or belongs to another program.
        """
        if not self._held and (self.is_demo or (self.workshop.folder / FILE).is_file()):
            self._open()
        return self._held[0] if self._held else None

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

    def _open(self) -> BenchLog:
        self._held.append(open_log(self._passing or self.workshop.folder, make=True))
        if self._passing is not None:
            fill_demo_log(self._held[0], self.workshop.recipes)
        return self._held[0]


def _end(held: list[BenchLog], passing: Path | None) -> None:
    while held:
        held.pop().close()
    if passing is not None:
        shutil.rmtree(passing, ignore_errors=True)
