"""A question about one cell of the tables that may be a slip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from maker_kit.findings import PRACTICE
from maker_kit.names import name_key


class Topic(NamedTuple):
    """What a question is about, so that the recipes that use it can show it.

    Attributes
    ----------
    kind : str
        ``recipe``, ``ingredient``, ``container``, ``supplier``, ``kit``, ``shop product``, or ``workshop`` for what
        concerns them all.
    name : str
        Folded name; empty for the workshop.
    """

    kind: str
    name: str

    @classmethod
    def of(cls, kind: str, name: str = "") -> Topic:
        """The topic of a thing by its name as written."""
        return cls(kind, name_key(name))


@dataclass(frozen=True)
class Question:
    """A cell that may be a slip.

    Attributes
    ----------
    code : str
        What is odd, for logic and files: ``slip.price_of_size``.
    topic : Topic
    file : str
    row : int
        As a spreadsheet shows it.
    column : str
        Its heading.
    found : str
        The cell as a sentence quotes it.
    why : str
        What is odd about it, in words.
    mend : str
        What to do.
    source : str
        Whose experience that is.
    place : str
        How the cell is called in a workbook, ``packs!F12``; empty where file, row and heading say it.
    """

    code: str
    topic: Topic
    file: str
    row: int
    column: str
    found: str
    why: str
    mend: str
    source: str = PRACTICE
    place: str = ""

    @property
    def where(self) -> str:
        """The row, or the cell of a workbook, as the maker finds it."""
        return self.place or f"{self.file}, row {self.row}"

    def asks(self) -> str:
        """What is asked, with its place."""
        return f"{self.where}, {self.column!r}: is {self.found} meant? {self.why}."

    def sentence(self) -> str:
        """The question, with its place and what to do, in one line."""
        return f"{self.asks()} {self.mend}"
