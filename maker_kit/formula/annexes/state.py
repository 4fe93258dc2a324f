"""Of what date the law in the tables is: shown beside every sentence that stands on it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from maker_kit import reference

STATE = "annex_state.csv"


@dataclass(frozen=True)
class LawState:
    """The state of one annex in the tables.

    Attributes
    ----------
    annex : str
        ``II`` to ``VI``.
    title : str
        The law and the annex.
    export_date, last_update : str
        When it was exported, and the newest change of a record in it (ISO dates).
    newest_amendment : str
        The newest amending regulation that it holds.
    source, checked : str
        Whose export, and how it was checked.
    """

    annex: str
    title: str
    export_date: str
    last_update: str
    newest_amendment: str
    source: str
    checked: str

    @property
    def in_words(self) -> str:
        """The state in a few words for a sentence's source."""
        return f"{self.title}, state of {self.last_update}, newest amendment {self.newest_amendment}"


@lru_cache(maxsize=1)
def law_states() -> dict[str, LawState]:
    """The state of each annex, by its number.

    Returns
    -------
    dict of str to LawState
    """
    columns = ("annex", "title", "export_date", "last_update", "newest_amendment", "source", "checked")
    return {row["annex"]: LawState(*(row[c] for c in columns)) for row in reference.rows(STATE, columns=columns)}


def law_as_of() -> str:
    """The date of the newest record in any annex (ISO date): the law that a verdict stands on is of that day."""
    return max(state.last_update for state in law_states().values())
