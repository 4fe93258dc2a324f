"""What of a purchase is left over: its value, and what of it will not be used up in time."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.market import Market
from maker_kit.buying.needs import exact_need
from maker_kit.buying.pricing import amount
from maker_kit.buying.used_cost import used_cost_micros
from maker_kit.money import money
from maker_kit.numbers import half_up
from maker_kit.plan.cost_breakdown import item_costs
from maker_kit.plan.notes import used_in_time
from maker_kit.plan.plan import Plan
from maker_kit.plan.shopping.purchases import Purchase


@dataclass(frozen=True)
class Leftover:
    """What stays of one item.

    Attributes
    ----------
    item : str
    units : int
        What is left [0.1 g or pieces].
    text : str
        The same in words: ``258.5 g``, ``4 pieces``.
    value_micros : Fraction
        What was paid for it [0.0001 cent].
    expiring_units : int or None
        What of it further batches will not use up in time [0.1 g]; 0 of pieces, which keep; None where the keeping time
        or the use is unknown.
    expiring_text : str
        The same in words.
    expiring_micros : Fraction or None
        What was paid for that [0.0001 cent].
    """

    item: str
    units: int
    text: str
    value_micros: Fraction
    expiring_units: int | None
    expiring_text: str
    expiring_micros: Fraction | None


@dataclass(frozen=True)
class Leftovers:
    """What stays of a purchase.

    Attributes
    ----------
    rows : tuple of Leftover
        Only items of which something is left, in the order of the tables.
    further_batches : int or None
        Batches that are still used up within the recipe's keeping time after those bought for; None where that is
        unknown.
    used_micros : int
        What the count used up [0.0001 cent].
    used_plus_expiring_micros : int or None
        The same and what will expire unused [0.0001 cent]; None where that is unknown.
    cash_micros : int
        What you pay [0.0001 cent].
    """

    rows: tuple[Leftover, ...]
    further_batches: int | None
    used_micros: int
    used_plus_expiring_micros: int | None
    cash_micros: int

    @property
    def value_micros(self) -> Fraction:
        """What was paid for all that is left [0.0001 cent]."""
        return sum((row.value_micros for row in self.rows), Fraction(0))

    def to_frame(self) -> pd.DataFrame:
        """The leftovers as a table: item, left over, value [currency], will expire, value of that [currency]; "unknown"
        where the keeping time or the use is not on file.
        """
        columns = ["item", "left over", "value", "will expire unused", "value of that"]
        return pd.DataFrame(
            [
                (
                    row.item,
                    row.text,
                    money(half_up(row.value_micros)),
                    row.expiring_text,
                    "unknown" if row.expiring_micros is None else money(half_up(row.expiring_micros)),
                )
                for row in self.rows
            ],
            columns=columns,
        )


def leftovers(purchase: Purchase) -> Leftovers:
    """What stays of a purchase, what was paid for it, and what of it will not be used up in time.

    Parameters
    ----------
    purchase : Purchase

    Returns
    -------
    Leftovers

    Notes
    -----
    No table holds a best-before date of a pack. So the recipe's keeping time stands in for it (an assumption: common
    practice, no source): what further whole batches of this recipe, at its use per month, do not use up within the
    keeping time counted from today is taken to expire. Containers and labels keep. A pack may keep for longer or
    shorter: its own date decides.
    """
    return left_of(purchase.plan, purchase.plan.market, purchase.plan.batches, purchase.basket)


def left_of(plan: Plan, market: Market, batches: int, basket: Basket) -> Leftovers:
    """`leftovers` of the basket of any count of batches; `market` is the plan's, given so that it is not gathered for
    every count again.
    """
    further = further_batches(plan, batches)
    exact = exact_need(plan.needs, batches)
    later = None if further is None else exact_need(plan.needs, batches + further)
    rows = []
    for cost in item_costs(market, basket, exact):
        stays = cost.bought - cost.need
        if stays <= 0:
            continue
        left = int(stays)  # whole base units are told; their value is exact
        lost, words, value = None, "unknown", None
        if later is not None:
            keeps = cost.item in market.pieces
            over = Fraction(0) if keeps else max(Fraction(0), cost.bought - max(later.get(cost.item, 0), cost.need))
            lost = int(over)
            words = amount(market, cost.item, lost) if lost else "nothing"
            value = cost.value_micros(over if lost else 0)
        text = amount(market, cost.item, left) if left else "less than 0.1 g"
        rows.append(Leftover(cost.item, left, text, cost.value_micros(stays), lost, words, value))
    expiring = None
    if further is not None:
        kept = sum((row.value_micros - (row.expiring_micros or 0) for row in rows), Fraction(0))
        expiring = half_up(basket.cost_micros - kept)
    used = used_cost_micros(market, basket, exact)
    return Leftovers(tuple(rows), further, used, expiring, basket.cost_micros)


def further_batches(plan: Plan, batches: int) -> int | None:
    """Whole batches that are used up within the recipe's keeping time, counted from today, after so many; None where
    the keeping time or the use is unknown.
    """
    in_time = used_in_time(plan.recipe)
    return None if in_time is None else max(0, int(in_time // plan.batch_size) - batches)
