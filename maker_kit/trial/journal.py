"""The entries of a run, each sealed with all before it, so that what was changed afterwards is found out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from maker_kit.trial.card import digest_of

ACTS = ("plan", "lock", "result", "correct", "look", "unseal")
"""What an entry is: a line of the plan; the card's digest, locked by the first result; a result; another value for one;
a look along the way; the opening of the key.
"""


@dataclass(frozen=True)
class Entry:
    """One entry of a run.

    Attributes
    ----------
    number : int
        From 1, without gaps.
    day : date
    act : str
        One of `ACTS`.
    place : int or None
        Taster or pair; None where it concerns the whole run.
    what : str
        Of a result: the code it is about, or ``answer``; of the plan: which line.
    value : str
    note : str
    seal : str
        Digest of this entry and the seal before it; empty for one that was typed into the file by hand.
    """

    number: int
    day: date
    act: str
    place: int | None = None
    what: str = ""
    value: str = ""
    note: str = ""
    seal: str = ""


def seal_of(entry: Entry, before: str) -> str:
    """The seal of an entry after another's: a digest of both."""
    place = "" if entry.place is None else str(entry.place)
    cells = (str(entry.number), entry.day.isoformat(), entry.act, place, entry.what, entry.value, entry.note)
    return digest_of((before,), cells)


def append(entries: Sequence[Entry], *new: Entry) -> tuple[Entry, ...]:
    """The entries with some more, numbered and sealed."""
    found = list(entries)
    for entry in new:
        before = found[-1].seal if found else ""
        numbered = replace(entry, number=len(found) + 1, seal="")
        found.append(replace(numbered, seal=seal_of(numbered, before)))
    return tuple(found)


def first_broken(entries: Sequence[Entry]) -> int | None:
    """Number of the first entry whose number or seal is not what it was when it was sealed; None where all hold.

    That entries were taken away from the end cannot be seen from those that are left: the last seal, written down
    elsewhere, shows it.
    """
    before = ""
    for place, entry in enumerate(entries, 1):
        if entry.number != place or entry.seal != seal_of(entry, before):
            return place
        before = entry.seal
    return None


def unsealed_tail(entries: Sequence[Entry]) -> int:
    """How many entries at the end have no seal: they were typed into the file and not taken in."""
    count = 0
    for entry in reversed(entries):
        if entry.seal:
            break
        count += 1
    return count
