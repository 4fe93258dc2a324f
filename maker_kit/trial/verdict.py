"""What a trial says of one must-have of a target card: one of four answers, its figures, and where they come from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

from maker_kit.frames import frame_of

DIFFERENT, SAME, NEITHER, NOT_JUDGED = "different", "same", "neither", "not judged"
VERDICTS = (DIFFERENT, SAME, NEITHER, NOT_JUDGED)
IN_WORDS = {
    DIFFERENT: "different",
    SAME: "the same within the gap",
    NEITHER: "neither yet",
    NOT_JUDGED: "not judged",
}
"""The answers as a maker reads them."""
WHY_NOT = (
    "no run",
    "waits for results",
    "sealed",
    "too few",
    "card changed",
    "results changed",
    "costed elsewhere",
    "another must-have",
)
"""Codes of why a must-have is not judged: nothing was planned; no result is in; the key is not opened; fewer than two
whole pairs; the card, or the results, were changed after they were locked; it is a cost, which a trial does not judge;
the run asks for something that the card does not.
"""


@dataclass(frozen=True)
class JudgedTarget:
    """One must-have of a target card with what the trials show of it.

    Logic reads `answer`, `why_not`, `side` and the figures; `text` is for people.

    Attributes
    ----------
    must_have : str
        Its name on the card.
    weight : {'must', 'wish'}
    measure : {'measured', 'tasters', 'words', 'kind', 'cost'}
        With a unit; a count of tasters who can tell; a place on a line between two words; what kind of thing it is; a
        cost, which no trial judges.
    how : str
        How it is measured, as the card says.
    unit : str
        Of `estimate`, `low`, `high` and `gap`; ``% of tasters`` for a count of tasters.
    gap : float or None
        Largest difference that is still called the same; None for a kind.
    answer : {'different', 'same', 'neither', 'not judged'}
        A trial that only found nothing never answers ``same``.
    why_not : str
        For ``not judged``: one of `WHY_NOT`; else empty.
    estimate, low, high : float or None
        Ours less the shop's and the interval with the trial's confidence; for tasters, the share who can tell. None
        where nothing was judged, and for a kind.
    side : {'better', 'worse', ''}
        For ``different``: on which side ours lies, where the card says whether more or less is better; empty where it
        wants likeness, or nothing is shown. Empty with ``different`` counts as a miss.
    more_needed : int or None
        For ``neither``: tasters or pairs that a run more needs until it is settled (`judge.next_count`); else None.
    results : int
        Answers or whole pairs that were judged.
    judged_together : int
        Must-haves of this card over which Holm's correction goes; 0 where nothing was judged.
    run : str
        Name of the run; empty where there is none.
    digest : str
        Of the card as it was locked by the run's first result; of the card as it stands where no result is in.
    card_version : int
    day : str
        Day of the run's last entry (``2026-03-31``); empty without a run.
    text : str
        What was found, for a maker who reads the must-have beside it.
    """

    must_have: str
    weight: str
    measure: str
    how: str
    unit: str
    gap: float | None
    answer: str
    why_not: str = ""
    estimate: float | None = None
    low: float | None = None
    high: float | None = None
    side: str = ""
    more_needed: int | None = None
    results: int = 0
    judged_together: int = 0
    run: str = ""
    digest: str = ""
    card_version: int = 1
    day: str = ""
    text: str = ""

    def __post_init__(self) -> None:
        if self.answer not in VERDICTS or (self.answer == NOT_JUDGED) != (self.why_not in WHY_NOT):
            raise ValueError(
                f"a verdict is one of {VERDICTS}, the last with one of {WHY_NOT}: not {self.answer!r}, {self.why_not!r}"
            )

    @property
    def met(self) -> bool | None:
        """Whether ours does what the card asks: the same, or different on the better side; None where nobody knows."""
        if self.answer in (SAME, DIFFERENT):
            return self.answer == SAME or self.side == "better"
        return None


def to_frame(judged: Iterable[JudgedTarget]) -> pd.DataFrame:
    """The must-haves as a table, one a row: what, weight, answer, figures with their unit, gap, more needed, run."""
    return frame_of(
        judged,
        {
            "must-have": "must_have",
            "weight": "weight",
            "answer": "answer",
            "ours less shop's": "estimate",
            "from": "low",
            "to": "high",
            "unit": "unit",
            "gap": "gap",
            "more needed": "more_needed",
            "how": "how",
            "run": "run",
        },
    )
