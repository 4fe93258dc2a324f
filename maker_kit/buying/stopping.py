"""Work that can be called off at any moment, and time that runs out."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from maker_kit.errors import QuantityError

T = TypeVar("T")

Asked = Callable[[], bool]
"""Says whether work is called off."""

ASKED_EVERY_S, GRACE_S = 0.02, 0.04
"""How often it is asked whether work is called off, and how long the work then has to end by itself [s]: together far
below a fifth of a second, which a hand at a slider does not wait for."""


@dataclass(frozen=True)
class TimeFor:
    """Time that several pieces of work share.

    Attributes
    ----------
    end : float
        By time.monotonic() [s].
    """

    end: float

    @property
    def left_s(self) -> float:
        """What is left of it [s]; never quite 0, so that work begins and says how far it came."""
        return max(self.end - time.monotonic(), 1e-3)

    def up(self) -> bool:
        """Whether it is over."""
        return time.monotonic() > self.end


def time_for(seconds: float) -> TimeFor:
    """So much time from now on [s].

    Raises
    ------
    QuantityError
        If it is not above 0.
    """
    if not seconds > 0:
        msg = f"a time of {seconds:g} s for the costs: it is above 0"
        raise QuantityError(msg)
    return TimeFor(time.monotonic() + min(seconds, 1e9))


def callable_off(work: Callable[[Asked], T], cancelled: Asked | None, instead: Callable[[], T]) -> T:
    """What some work gives; or, soon after it is called off, what stands in its place.

    A numpy pass or the integer program cannot be interrupted. So the work runs in a thread of its own, and whoever
    asked for it goes on when it is called off; the work itself asks too, between its steps, and ends at the next.

    Parameters
    ----------
    work : callable
        Is given what says whether it is called off, to be asked between steps.
    cancelled : callable, optional
        Whether it is called off; without it, the work runs to its end where it stands.
    instead : callable
        Gives what is known where the work did not end in time.

    Returns
    -------
    object

    Raises
    ------
    Exception
        What the work raised.
    """
    if cancelled is None:
        return work(lambda: False)
    off, ended = threading.Event(), threading.Event()
    given: list[T] = []
    raised: list[BaseException] = []

    def asked() -> bool:
        return off.is_set() or cancelled()

    def run() -> None:
        try:
            given.append(work(asked))
        except BaseException as error:  # noqa: BLE001 (whatever it is, it belongs to whoever asked for the work)
            raised.append(error)
        ended.set()

    threading.Thread(target=run, daemon=True).start()
    try:
        while not ended.wait(ASKED_EVERY_S):
            if cancelled():
                off.set()
                ended.wait(GRACE_S)
                break
    finally:
        off.set()  # also where whoever asked was interrupted
    if raised:
        raise raised[0]
    return given[0] if given else instead()
