"""What the verdict hangs on: the inputs that move one container most, and whether any of them turns it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from maker_kit.decision.money import Money, amount_of
from maker_kit.money import MICROS_PER_CENT
from maker_kit.plan.sensitivity import SHARE_PERCENT, Sensitivity, SensitivityBar, sensitivity

MOST_ROWS = 5
"""Rows that are shown [rows]; every one that turns the verdict is shown before those that do not."""


@dataclass(frozen=True)
class Hang:
    """One input moved down and up, the others as they are.

    Attributes
    ----------
    name : str
    low, high : str
        What it is set to.
    low_micros, high_micros : Fraction or None
        What is then paid for one container of those made [0.0001 cent]; None where unknown.
    turns : bool or None
        Whether paying so much is on the other side of the fair price at one end; None where nobody knows.
    """

    name: str
    low: str
    high: str
    low_micros: Fraction | None
    high_micros: Fraction | None
    turns: bool | None


def hangs_on(money: Money, moved: Sensitivity | None = None) -> tuple[Hang, ...]:
    """What one container is paid for, with each input moved a fifth down and up, against the fair price.

    What is paid is looked at, and not what is used up: prices and delivery are paid. The price in the shop moves by the
    same share. An input that is moved and whose effect is unknown stays in.

    Parameters
    ----------
    money : Money
    moved : Sensitivity, optional
        Of the same plan, where it was worked out before.

    Returns
    -------
    tuple of Hang
        Those that turn the verdict first, then the unknown ones, then by their length; none where the cost or the fair
        price is unknown.
    """
    fair, plan = money.fair_micros, money.plan
    if fair is None or money.left is None:
        return ()
    moved = moved or sensitivity(plan, plan.batches, shop_price_cents=fair / MICROS_PER_CENT)
    if moved.each_micros is None:
        return ()
    each, rows = moved.each_micros, []
    for bar in moved.bars:
        rows.append(_hang(bar, each, fair))
    share = Fraction(SHARE_PERCENT, 100)
    now = each <= fair
    turns = any((each <= end) != now for end in (fair * (1 - share), fair * (1 + share)))
    rows = [row for row in rows if row.low_micros != row.high_micros or row.low_micros is None]
    words = (amount_of(fair * (1 - share)), amount_of(fair * (1 + share)))
    rows.insert(0, Hang("fair price in the shop", *words, each, each, turns))
    rows.sort(key=lambda row: (row.turns is False, row.turns is None))
    return tuple(rows[: max(MOST_ROWS, sum(row.turns is not False for row in rows))])


def _hang(bar: SensitivityBar, each: Fraction, fair: Fraction) -> Hang:
    ends = (bar.low.each_micros, bar.high.each_micros)
    turns = None if None in ends else any((end <= fair) != (each <= fair) for end in ends if end is not None)
    return Hang(bar.name, bar.low.setting, bar.high.setting, *ends, turns)
