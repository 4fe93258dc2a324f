"""Findings: what a result has to say beside its numbers. A finding is never told by colour alone, and unknown is never fine."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

KINDS = ("stop", "look", "know")
LEVELS = ("over", "missing", "under", "near", "unknown", "fine", "note")


@dataclass(frozen=True)
class Finding:
    """One thing to know, to look at, or to stop for.

    Attributes
    ----------
    kind : {'stop', 'look', 'know'}
        Do not make or give this; decide on purpose; good to know.
    level : {'over', 'missing', 'under', 'near', 'unknown', 'fine', 'note'}
        How what was found stands to what is allowed; ``note`` where nothing is compared.
    topic : str
        The question it belongs to: ``limit``, ``scent``, ``preservation``, ``supplier``, ``thickness``, ``scale``, ``kit``, ``container``, ``keeping``, ``caution``,
        ``clash``, ``swap``, ``avoid``, ``density`` and so on; a word of the room that found it.
    subject : str
        Substance, ingredient or thing it is about.
    text : str
        One sentence for a maker.
    next_step : str
        What to do about it; empty where nothing needs doing.
    found_percent, limit_percent : float or None
        Percent by mass of the whole [%], both counted the same way.
    source : str
        Where the limit or the fact is published, with year and amendment, and "from memory" or "common practice, no source" where that is so.
    """

    kind: str
    level: str
    topic: str
    subject: str
    text: str
    next_step: str = ""
    found_percent: float | None = None
    limit_percent: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        if self.kind not in KINDS or self.level not in LEVELS:
            msg = f"a finding's kind is one of {KINDS} and its level one of {LEVELS}, not {self.kind!r} and {self.level!r}"
            raise ValueError(msg)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings with the gravest first; their own order is kept among equals."""
    return tuple(sorted(findings, key=lambda f: (KINDS.index(f.kind), LEVELS.index(f.level))))


def to_frame(findings: Iterable[Finding]) -> pd.DataFrame:
    """The findings as a table, one a row: kind, level, topic, subject, text, next step, found [%], limit [%], source."""
    columns = {"kind": "kind", "level": "level", "topic": "topic", "subject": "subject", "text": "text", "next_step": "next step",
               "found_percent": "found %", "limit_percent": "limit %", "source": "source"}
    return pd.DataFrame([{title: getattr(f, name) for name, title in columns.items()} for f in findings], columns=list(columns.values()))
