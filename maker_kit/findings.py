"""Findings: what a result has to say beside its numbers.

A finding is never told by colour alone, and unknown is never fine.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

from maker_kit.frames import frame_of

KINDS = ("stop", "look", "know")
LEVELS = ("over", "missing", "under", "near", "unknown", "fine", "note")
PRACTICE = "common practice, no source"
"""The source of what the trade does and nobody published."""


@dataclass(frozen=True)
class Finding:
    """One thing to know, to look at, or to stop for.

    Logic reads `kind`, `code`, `level`, `about` and the figures; `subject`, `text` and `next_step` are for people, and
    a reworded sentence never changes what the program does. Made by `stop`, `look` and `know`.

    Attributes
    ----------
    kind : {'stop', 'look', 'know'}
        Do not make or give this; decide on purpose; good to know.
    code : str
        What it is, for logic and for files: a word of the room that found it, a full stop, and what was found, such as
        ``limit.over`` or ``preservation.none``.
    about : tuple of str
        What it is about, the main thing first: names of recipe lines, substances, packs or other things, as the tables
        write them.
    text : str
        One sentence for a maker.
    level : {'over', 'missing', 'under', 'near', 'unknown', 'fine', 'note'}
        How what was found stands to what is allowed; ``note`` where nothing is compared.
    subject : str
        What it is about, as a maker reads it; the first of `about` unless given.
    next_step : str
        What to do about it; empty where nothing needs doing.
    found_percent, limit_percent : float or None
        Percent by mass of the whole [%], both counted the same way.
    source : str
        Where the limit or the fact is published, with year and amendment, and "from memory" or "common practice, no
        source" where that is so.
    brief : str
        The text without what another note of the same set says for all of them; empty where nothing can be spared.
    sources : tuple of str
        The same as `source`, one by one and each once; `source` follows from it where it is given.
    """

    kind: str
    code: str
    about: tuple[str, ...]
    text: str
    level: str = "note"
    subject: str = ""
    next_step: str = ""
    found_percent: float | None = None
    limit_percent: float | None = None
    source: str = ""
    brief: str = ""
    sources: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.kind not in KINDS or self.level not in LEVELS:
            raise ValueError(
                f"a finding's kind is one of {KINDS} and its level one of {LEVELS}, not {self.kind!r}, {self.level!r}"
            )
        if not self.subject:
            object.__setattr__(self, "subject", self.about[0] if self.about else "")
        each = tuple(dict.fromkeys(filter(None, self.sources or (self.source,))))
        object.__setattr__(self, "sources", each)
        object.__setattr__(self, "source", "; ".join(each))

    @property
    def topic(self) -> str:
        """The question it belongs to: the word of its `code` before the full stop."""
        return self.code.partition(".")[0]


def _names(about: str | Iterable[str]) -> tuple[str, ...]:
    return (about,) if isinstance(about, str) else tuple(about)


def stop(code: str, about: str | Iterable[str], text: str, **more: object) -> Finding:
    """A finding that says: do not make or give this. `more` are the other attributes of `Finding`, by name."""
    return Finding("stop", code, _names(about), text, **more)


def look(code: str, about: str | Iterable[str], text: str, **more: object) -> Finding:
    """A finding that says: decide this on purpose. `more` are the other attributes of `Finding`, by name."""
    return Finding("look", code, _names(about), text, **more)


def know(code: str, about: str | Iterable[str], text: str, **more: object) -> Finding:
    """A finding that is good to know. `more` are the other attributes of `Finding`, by name."""
    return Finding("know", code, _names(about), text, **more)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings with the gravest first; their own order is kept among equals."""
    return tuple(sorted(findings, key=lambda f: (KINDS.index(f.kind), LEVELS.index(f.level))))


def to_frame(findings: Iterable[Finding]) -> pd.DataFrame:
    """The findings as a table, one a row: kind, level, topic, subject, text, next step, found and limit [%], source."""
    return frame_of(
        findings,
        {name: name for name in ("kind", "level", "topic", "subject", "text")}
        | {"next step": "next_step", "found %": "found_percent", "limit %": "limit_percent", "source": "source"},
    )
