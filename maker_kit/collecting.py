"""Looking for garbage seldom while much is made that stays: each look would go over all of it."""

from __future__ import annotations

import contextlib
import gc
from collections.abc import Iterator

SELDOM = (200_000, 20, 100)
"""Thresholds of Python's collector in that time; 700, 10, 10 otherwise."""


@contextlib.contextmanager
def seldom_collected() -> Iterator[None]:
    """Look for garbage seldom for the time of a with statement, then as before."""
    before = gc.get_threshold()
    gc.set_threshold(*SELDOM)
    try:
        yield
    finally:
        gc.set_threshold(*before)
