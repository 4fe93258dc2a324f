"""Several reports at once: one process a core, one bar, each report made as it is made alone."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import Any

from maker_kit.collecting import seldom_collected
from maker_kit.errors import MakerKitError, NoticeError
from maker_kit.workbook.run.bar import bar

MOST = 8
"""Most processes: each takes some 200 MB of memory."""

_FOR_LIFE = contextlib.ExitStack()
"""What a worker has entered, until it ends: a stack that nobody holds leaves it at once."""

Work = Callable[..., Any]
"""What makes one report; a function of a module, as other processes have to find it."""


def cores() -> int:
    """How many processes may run at once here."""
    allowed = getattr(os, "sched_getaffinity", None)
    return min(MOST, len(allowed(0)) if allowed else os.cpu_count() or 1)


def side_by_side(
    work: Work, given: Sequence[Mapping[str, Any]], *, progress: str = "", most: int | None = None
) -> Iterator[Any]:
    """What a function makes of each of several things, in their order, made in several processes.

    Parameters
    ----------
    work : callable
        Called with the keywords of each.
    given : sequence of Mapping
    progress : str
        What the bar says; no bar where empty.
    most : int, optional
        Most processes; as many as there are cores unless given.

    Raises
    ------
    NoticeError
        At the first that could not be made, with its sentence; or if a process ended by itself.
    """
    many = min(len(given), most or cores())
    before, whole = set(multiprocessing.active_children()), False
    pool = ProcessPoolExecutor(many, multiprocessing.get_context("spawn"), initializer=_begin)
    try:
        futures = [pool.submit(_made, work, dict(each)) for each in given]
        with bar(len(given), progress, "recipes") as count:
            for future in futures:
                future.add_done_callback(lambda _: count())
            for future in futures:
                made, fault = future.result()
                if fault:
                    raise NoticeError(fault)
                yield made
        whole = True
    except BrokenProcessPool as error:
        msg = "Python ended while the reports were made; close other programs to free memory, and try again"
        raise NoticeError(msg) from error
    finally:
        pool.shutdown(wait=whole, cancel_futures=True)
        for child in set(multiprocessing.active_children()) - before:
            child.terminate()


def _begin() -> None:
    """A worker leaves Ctrl-C to the command, reads the tables once for all reports, and seldom looks for garbage."""
    from maker_kit.workshop.loading import read_once

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _FOR_LIFE.enter_context(read_once())
    _FOR_LIFE.enter_context(seldom_collected())


def _made(work: Work, given: dict[str, Any]) -> tuple[Any, str]:
    """What was made, and the sentence of what went wrong: some errors cannot be sent from process to process."""
    try:
        return work(**given), ""
    except MakerKitError as error:
        return None, str(error)
