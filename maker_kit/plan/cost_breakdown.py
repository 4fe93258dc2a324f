"""What one container costs, part by part: what was used up item by item, the fees, what is left over, and one's own
minutes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.market import Market
from maker_kit.buying.needs import exact_need
from maker_kit.buying.own_time import own_time_micros
from maker_kit.buying.used_cost import price_shares, used_of
from maker_kit.formula.batch import LABEL
from maker_kit.money import MICROS_PER_CENT, cents_that_add_up, money
from maker_kit.plan.shopping.purchases import Purchase

INGREDIENTS, CONTAINER, LABELS = "ingredients used", "container", "label"
FEES, LEFT_OVER, MINUTES = "delivery and handling", "left over", "own minutes"


@dataclass(frozen=True)
class ItemCost:
    """What one item of a basket cost.

    Attributes
    ----------
    item : str
    need : Fraction or int
        What is used up [0.1 g or pieces], not rounded where the exact need was given.
    bought : int
        [0.1 g or pieces]
    paid_micros : Fraction
        Goods with their tax [0.0001 cent]; a kit's price is shared over its items as `used_cost_micros` shares it.
    """

    item: str
    need: Fraction | int
    bought: int
    paid_micros: Fraction

    @property
    def used_micros(self) -> Fraction:
        """What the need used up: the paid amount in the proportion need / bought [0.0001 cent]."""
        return self.value_micros(self.need)

    def value_micros(self, units: Fraction | int) -> Fraction:
        """So many base units at the price that was paid [0.0001 cent]."""
        return self.paid_micros * units / self.bought


@dataclass(frozen=True)
class CostBreakdown:
    """The cost of one container, stacked.

    Attributes
    ----------
    containers : int
    parts : tuple of (str, Fraction)
        Part and its amount for one container [0.0001 cent], exactly; own minutes are in it only where they are counted.
    cash_micros : int
        What you pay for all containers [0.0001 cent].
    minutes_micros : Fraction
        Own minutes for all containers [0.0001 cent]; not paid to anybody.
    """

    containers: int
    parts: tuple[tuple[str, Fraction], ...]
    cash_micros: int
    minutes_micros: Fraction

    @property
    def each_micros(self) -> Fraction:
        """All parts of one container [0.0001 cent]: what you pay, and your own minutes where they are counted."""
        return sum((part for _, part in self.parts), Fraction(0))

    def to_frame(self) -> pd.DataFrame:
        """The parts as a table: part, one container, all containers; with the total. Money is text, rounded so that
        each column adds up to its total.
        """
        table = {"part": [*(name for name, _ in self.parts), "total"]}
        for heading, times in (("one container", 1), ("all", self.containers)):
            cents = cents_that_add_up([part * times for _, part in self.parts])
            table[heading] = [money(c * MICROS_PER_CENT) for c in (*cents, sum(cents))]
        return pd.DataFrame(table)


def item_costs(market: Market, basket: Basket, exact: Mapping[str, Fraction] | None = None) -> tuple[ItemCost, ...]:
    """What every item of a basket cost, in the order of the tables, exactly.

    Parameters
    ----------
    market : Market
        The one the basket was bought from.
    basket : Basket
    exact : Mapping of str to Fraction, optional
        What is used up of every item [base units], as in `used_cost_micros`.

    Returns
    -------
    tuple of ItemCost
        Their paid amounts add up to the goods with their tax; handling and delivery are in none of them.
    """
    packs = {pack.name: pack.content for pack in market.packs}
    taxed = {supplier.name: MICROS_PER_CENT + supplier.tax_bp for supplier in market.suppliers}
    bought: dict[str, int] = {}
    paid: dict[str, Fraction] = {}
    for line in basket.lines:
        content, tax = packs[line.pack], taxed[line.supplier]
        for item, share in price_shares(market, content, line.price_cents * tax, taxed).items():
            bought[item] = bought.get(item, 0) + content[item] * line.count
            paid[item] = paid.get(item, Fraction(0)) + line.goods_cents * tax * share
    return tuple(ItemCost(item, used_of(basket, item, exact), units, paid[item]) for item, units in bought.items())


def cost_parts(purchase: Purchase, *, minutes_per_batch: float = 0, hourly_rate_cents: float = 0) -> CostBreakdown:
    """The cost of one container, part by part, exactly.

    The goods are split item by item into what the count used up and what is left over; handling, delivery and the tax
    on them stay one part. Own minutes are ``minutes · batches · rate / 60`` and are left out unless both figures are
    above 0: nobody is paid for them.

    Parameters
    ----------
    purchase : Purchase
    minutes_per_batch : float
        Own time for one batch [min], 0 or more.
    hourly_rate_cents : float
        What an hour of it is worth [cent], 0 or more.

    Returns
    -------
    CostBreakdown
        The parts add up to what you pay for one container, and the own minutes where they are counted.

    Raises
    ------
    QuantityError
        If the minutes or the rate is below 0 or no number.
    """
    plan, cash = purchase.plan, purchase.basket.cost_micros
    worked = own_time_micros(minutes_per_batch, hourly_rate_cents) * plan.batches
    sums = dict.fromkeys((INGREDIENTS, CONTAINER, LABELS, FEES, LEFT_OVER), Fraction(0))
    sums[FEES] += cash
    kinds = {plan.recipe.container: CONTAINER, LABEL: LABELS}
    for cost in item_costs(plan.market, purchase.basket, exact_need(plan.needs, plan.batches)):
        sums[kinds.get(cost.item, INGREDIENTS)] += cost.used_micros
        sums[LEFT_OVER] += cost.paid_micros - cost.used_micros
        sums[FEES] -= cost.paid_micros
    if worked:
        sums[MINUTES] = worked
    parts = tuple((name, part / plan.containers) for name, part in sums.items())
    return CostBreakdown(plan.containers, parts, cash, worked)
