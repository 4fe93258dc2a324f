"""What one run shows, with its figures: what is drawn and told of it."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from maker_kit.findings import Finding


@dataclass(frozen=True)
class RunResult:
    """What one run shows, in the unit of the card.

    Attributes
    ----------
    run, must_have, kind, unit : str
    gap : float
        Largest difference that is still called the same.
    answer : str
        ``different``, ``same`` or ``neither``.
    results : int
        Answers or whole pairs that were judged.
    estimate, low, high : float or None
        Ours less the shop's, or percent of the tasters who can tell, with its interval; None for a kind.
    confidence : float
        Of the interval, 0 to 1.
    p_value : float or None
        Of a difference, corrected for the looks along the way; None for a kind.
    rank_p_value, rank_low, rank_high : float or None
        The same by signed ranks, for pairs.
    same_low, same_high : float or None
        For pairs, the narrower interval with confidence 1 − 2 beta, which sameness goes by.
    dots : tuple of float
        One a result: the differences; for answers 1 for a right one and 0 for a wrong one.
    more_needed : int or None
        Tasters or pairs that a run more needs, where the answer is neither: `next_count`.
    looks : int
        Looks at it, those of earlier runs of the same included: the interval's confidence is shared equally over them.
    towards : {'more', 'less', ''}
        On which side ours lies, where a difference has a side.
    right : int or None
        Right answers; None for pairs.
    needed_right, most_right_same : int or None
        Fewest right answers that show a difference, and most that show sameness; None where none would.
    two_sided : bool
        Whether a paired trial had no expected direction.
    words : tuple of str
        Ours and the shop's, for a kind.
    scatter : float or None
        Standard deviation of a difference, for pairs.
    findings : tuple of Finding
        Missing, tied, unbalanced and early results, and whatever else is to know.
    """

    run: str
    must_have: str
    kind: str
    unit: str
    gap: float
    answer: str
    results: int
    estimate: float | None = None
    low: float | None = None
    high: float | None = None
    confidence: float = 0.95
    p_value: float | None = None
    rank_p_value: float | None = None
    rank_low: float | None = None
    rank_high: float | None = None
    same_low: float | None = None
    same_high: float | None = None
    dots: tuple[float, ...] = ()
    more_needed: int | None = None
    looks: int = 1
    towards: str = ""
    right: int | None = None
    needed_right: int | None = None
    most_right_same: int | None = None
    two_sided: bool = False
    words: tuple[str, ...] = ()
    scatter: float | None = None
    findings: tuple[Finding, ...] = ()

    def to_frame(self) -> pd.DataFrame:
        """The dots as a table: number and value."""
        return pd.DataFrame({"number": range(1, len(self.dots) + 1), "value": self.dots})
