"""Work that goes on behind a screen: dropped when a control moves again, put off when something else is asked for."""

from __future__ import annotations

import threading
from collections.abc import Callable
from time import monotonic, sleep

from maker_kit.buying.stopping import Asked
from maker_kit.errors import MakerKitError

Work = Callable[[Asked, Asked], None]
"""Is given two things to ask: whether its screen has moved on, and whether it has, or something else comes first."""


class Behind:
    """What works behind one screen, one piece of work at a time.

    Parameters
    ----------
    work : callable
        What is to be done; see `Work`.
    fails : callable
        Given the sentence of a fault of the tables, or an empty one of any other fault, where its screen has not moved
        on.
    """

    def __init__(self, work: Work, fails: Callable[[str], None]) -> None:
        self._work, self._fails = work, fails
        self._turn, self._look = 0, 0
        self._at_work = threading.Lock()
        self._thread: threading.Thread | None = None

    def moves_on(self) -> None:
        """A control has moved: what is under way is of no use any more."""
        self._turn += 1

    def start(self, rest_s: float = 0.0) -> None:
        """Begin once nothing has moved for so long [s]; what may wait is put off."""
        self._look += 1
        self._thread = threading.Thread(target=self._run, args=(*self._asked(), rest_s), daemon=True)
        self._thread.start()

    def here(self) -> None:
        """Do it at once, where nobody is looking."""
        self._work(*self._asked())

    def wait(self, seconds: float) -> bool:
        """Wait until nothing is under way; true once that is so."""
        end = monotonic() + seconds
        while (thread := self._thread) is not None and thread.is_alive() and monotonic() < end:
            thread.join(0.05)
        return self._thread is None or not self._thread.is_alive()

    def _asked(self) -> tuple[Asked, Asked]:
        turn, look = self._turn, self._look
        return (lambda: turn != self._turn), (lambda: (turn, look) != (self._turn, self._look))

    def _run(self, moved_on: Asked, called: Asked, rest_s: float) -> None:
        sleep(rest_s)
        try:
            with self._at_work:
                if not moved_on():
                    self._work(moved_on, called)
        except MakerKitError as error:
            if not moved_on():
                self._fails(str(error))
        except BaseException:
            if not moved_on():
                self._fails("")
            raise
