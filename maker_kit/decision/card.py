"""The target card with a result a row: what the trials say, and what the costs say of the rows that are costs."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.decision.money import Money, amount_of
from maker_kit.money import MICROS
from maker_kit.trial.verdict import IN_WORDS, JudgedTarget
from maker_kit.units import exact_number

COST = "cost"
USE = re.compile(r"\buse\b", re.IGNORECASE)
"""What stands in the unit of a cost that is asked for by the use: ``EUR a use``."""
CHANGED = "The recipe as it is set here is not the one that was tried, so nothing is known of it."


@dataclass(frozen=True)
class CardRow:
    """One must-have with its result.

    Attributes
    ----------
    target : JudgedTarget
        What the trials say of it.
    met : bool or None
        Whether ours does what the card asks; None where nobody knows.
    result : str
        The result in words, with its figures.
    rests_on : tuple of str
        Where that was read.
    """

    target: JudgedTarget
    met: bool | None
    result: str
    rests_on: tuple[str, ...]

    @property
    def must(self) -> bool:
        """Whether the card says must; a wish decides nothing."""
        return self.target.weight == "must"

    @property
    def cost(self) -> bool:
        """Whether it is a cost."""
        return self.target.measure == COST

    @property
    def answer(self) -> str:
        """``met``, ``missed`` or ``nobody knows yet``."""
        return {True: "met", False: "missed", None: "nobody knows yet"}[self.met]

    @property
    def short(self) -> str:
        """The row in a few words: ``foam height (must): met``."""
        return f"{self.target.must_have} ({self.target.weight}): {self.answer}"

    def sentence(self) -> str:
        """The row in a sentence."""
        return f"{self.short}. {self.result}"


def card_rows(judged: Iterable[JudgedTarget], money: Money, *, tried: bool = True) -> tuple[CardRow, ...]:
    """The card's rows in its order; those that are costs are filled in from the money.

    Parameters
    ----------
    judged : iterable of JudgedTarget
    money : Money
    tried : bool
        Whether the recipe is as it was tried; where a slider changed it, no result of a trial counts.

    Returns
    -------
    tuple of CardRow
    """
    return tuple(_cost(row, money) if row.measure == COST else _tried(row, tried) for row in judged)


def _tried(row: JudgedTarget, tried: bool) -> CardRow:
    here = f"targets.csv: {row.must_have}"
    if not tried:
        return CardRow(row, None, CHANGED, (here,))
    return CardRow(
        row,
        row.met,
        row.text or IN_WORDS[row.answer],
        (here, f"trials/{row.run}.csv") if row.run else (here,),
    )


def _cost(row: JudgedTarget, money: Money) -> CardRow:
    per_use = USE.search(row.unit) is not None
    pair, here = money.pair(per_use), (f"targets.csv: {row.must_have}", "packs.csv", "shop_products.csv")
    if pair is None or row.gap is None:
        why = " ".join(money.why) or "The card names no gap."
        return CardRow(row, None, f"Unknown. {why}", here)
    gap = exact_number(row.gap, "a gap") * MICROS
    ours, theirs, allowed = (amount_of(Fraction(end), per_use) for end in (*pair, gap))
    words = f"Ours {ours}, the shop's {theirs} {row.unit}; at most {allowed} dearer is allowed."
    return CardRow(row, pair[0] - pair[1] <= gap, words, here)
