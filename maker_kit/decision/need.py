"""One thing that a step asks for, and how it stands."""

from __future__ import annotations

from dataclasses import dataclass

NOTHING_FOUND, MISSING, UNKNOWN, AGAINST = "nothing found against it", "missing", "unknown", "against"
STATES = (AGAINST, UNKNOWN, MISSING, NOTHING_FOUND)
"""How a need stands, the gravest first; only the last lets a step open."""


@dataclass(frozen=True)
class Need:
    """One thing that a step asks for.

    Logic reads `code` and `state`; `asked`, `because` and `next_step` are for people.

    Attributes
    ----------
    code : str
        Stable: the step, a full stop, and what is asked for: ``own.stop``, ``sale.safety_assessment``.
    asked : str
        What the step asks for, in words.
    state : {'against', 'unknown', 'missing', 'nothing found against it'}
        Something on file stands against it; nobody knows; no record on file; nothing was found against it.
    because : str
        What was found, in a sentence.
    next_step : str
        What to do; empty where nothing needs doing.
    source : str
        Who asks for it, with section and year, and "from memory" or "common practice, no source" where that is so.
    rests_on : tuple of str
        Where in the tables that was read: ``papers.csv, row 3``.
    who : str
        The qualified person the law wants for it; empty where it wants none.
    """

    code: str
    asked: str
    state: str
    because: str
    next_step: str = ""
    source: str = ""
    rests_on: tuple[str, ...] = ()
    who: str = ""

    def __post_init__(self) -> None:
        if self.state not in STATES:
            raise ValueError(f"a need stands as one of {STATES}, not {self.state!r}")

    @property
    def met(self) -> bool:
        """Whether nothing was found against it."""
        return self.state == NOTHING_FOUND
