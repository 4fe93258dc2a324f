"""How long a maker takes for something: what the machine takes, measured, and on top what a person takes.

A person types 40 words a minute (a word is five characters, as typists count), reads 240 words a minute, and takes 3 s
for each thing that is clicked or chosen. Common practice, no source.
"""

from __future__ import annotations

import time
from collections.abc import Callable

MOST_S = 360
"""Most that a recipe of one's own may take, from the text to the report [s]."""
TYPED_WORDS, READ_WORDS, CLICK_S = 40, 240, 3.0


class Clock:
    """Steps with their seconds: of the machine, and of a person."""

    def __init__(self) -> None:
        self.steps: list[tuple[str, float, float]] = []

    def step(self, what: str, act: Callable[[], object], *, typed: str = "", read: str = "", clicks: int = 0) -> None:
        """Do something, and count it."""
        begun = time.monotonic()
        act()
        machine = time.monotonic() - begun
        person = len(typed) / 5 / TYPED_WORDS * 60 + len(read.split()) / READ_WORDS * 60 + clicks * CLICK_S
        self.steps.append((what, machine, person))

    @property
    def total_s(self) -> float:
        """All of it [s]."""
        return sum(machine + person for _, machine, person in self.steps)

    def __str__(self) -> str:
        lines = [f"{what:42} machine {m:6.1f} s   person {p:6.1f} s" for what, m, p in self.steps]
        return "\n".join([*lines, f"{'all':42} {self.total_s:.0f} s of at most {MOST_S} s"])
