"""A short run that seldom looks for garbage: each look goes over everything that was fetched."""

from __future__ import annotations

import contextlib
import gc
import threading
from collections.abc import Iterator

NEW, OLDER, OLDEST = 1_000_000, 20, 100
"""So many new things, and so many looks at those and at the older ones, before the next look; a report makes a few
million of them, nearly none of which hold each other."""


_SET_APART = threading.Event()


def set_apart() -> None:
    """Leave all that is here now out of every later look for garbage, for good."""
    gc.freeze()
    _SET_APART.set()


@contextlib.contextmanager
def seldom_collected() -> Iterator[None]:
    """Look for garbage seldom; afterwards as before. What a session has set apart for good stays apart."""
    before = gc.get_threshold()
    gc.set_threshold(NEW, OLDER, OLDEST)
    try:
        yield
    finally:
        if not _SET_APART.is_set():  # Python itself would have to count what is apart, one by one
            gc.freeze()  # and back, among the oldest: else the next thing made would have all of it looked over at once
            gc.unfreeze()
        gc.set_threshold(*before)
