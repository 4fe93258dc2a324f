"""What one container costs, part by part, and what of the purchase is left over: its value, and what of it will not be used up in time."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying.basket.basket import Basket
from maker_kit.buying.costing import CostCurve
from maker_kit.buying.market import MICROS_PER_CENT, Market
from maker_kit.buying.needs import need_of
from maker_kit.buying.pricing import amount, cents_that_add_up, money
from maker_kit.buying.used_cost import price_shares, used_cost_micros
from maker_kit.errors import QuantityError
from maker_kit.formula.container import LABEL
from maker_kit.plan.costs import Purchase
from maker_kit.plan.plan import Plan
from maker_kit.units import exact_number

INGREDIENTS, CONTAINER, LABELS, FEES, LEFT_OVER, MINUTES = (
    "ingredients used",
    "container",
    "label",
    "delivery and handling",
    "left over",
    "own minutes",
)


@dataclass(frozen=True)
class ItemCost:
    """What one item of a basket cost.

    Attributes
    ----------
    item : str
    need, bought : int
        Base units [0.1 g or pieces].
    paid_micros : Fraction
        Goods with their tax [0.0001 cent]; a kit's price is shared over its items as `used_cost_micros` shares it.
    """

    item: str
    need: int
    bought: int
    paid_micros: Fraction

    @property
    def used_micros(self) -> Fraction:
        """What the need used up: the paid amount in the proportion need / bought [0.0001 cent]."""
        return self.value_micros(self.need)

    def value_micros(self, units: int) -> Fraction:
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
        """All parts of one container together [0.0001 cent]: what you pay, and your own minutes where they are counted."""
        return sum((part for _, part in self.parts), Fraction(0))

    def part_micros(self, name: str) -> Fraction:
        """One part of one container [0.0001 cent]; 0 where it is not counted."""
        return dict(self.parts).get(name, Fraction(0))

    def to_frame(self) -> pd.DataFrame:
        """The parts as a table: part, one container, all containers; with the total. Money is text, rounded so that each column adds up to its total."""
        names = [name for name, _ in self.parts]
        each = [part for _, part in self.parts]
        columns = [cents_that_add_up(column) for column in (each, [part * self.containers for part in each])]
        rows = [(name, *(money(column[k] * MICROS_PER_CENT) for column in columns)) for k, name in enumerate(names)]
        return pd.DataFrame(
            [*rows, ("total", *(money(sum(column) * MICROS_PER_CENT) for column in columns))],
            columns=["part", "one container", "all"],
        )


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
        What of it further batches will not use up in time [0.1 g]; 0 of pieces, which keep; None where the keeping time or the use is unknown.
    expiring_micros : Fraction or None
        What was paid for that [0.0001 cent].
    """

    item: str
    units: int
    text: str
    value_micros: Fraction
    expiring_units: int | None
    expiring_micros: Fraction | None


@dataclass(frozen=True)
class Leftovers:
    """What stays of a purchase.

    Attributes
    ----------
    rows : tuple of Leftover
        Only items of which something is left, in the order of the tables.
    further_batches : int or None
        Batches that are still used up within the recipe's keeping time after those bought for; None where that is unknown.
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
        """The leftovers as a table: item, left over, value [currency], will expire, value of that [currency]; "unknown" where the keeping time or the use is not on file."""
        columns = ["item", "left over", "value", "will expire unused", "value of that"]
        rows = [
            (
                row.item,
                row.text,
                money(half_up(row.value_micros)),
                "unknown" if row.expiring_units is None else _scaled(row),
                "unknown" if row.expiring_micros is None else money(half_up(row.expiring_micros)),
            )
            for row in self.rows
        ]
        return pd.DataFrame(rows, columns=columns)


def item_costs(market: Market, basket: Basket) -> tuple[ItemCost, ...]:
    """What every item of a basket cost, in the order of the tables, exactly.

    Parameters
    ----------
    market : Market
        The one the basket was bought from.
    basket : Basket

    Returns
    -------
    tuple of ItemCost
        Their paid amounts add up to the goods with their tax; handling and delivery are in none of them.
    """
    packs = {pack.name: pack for pack in market.packs}
    tax = {supplier.name: Fraction(MICROS_PER_CENT + supplier.tax_bp, MICROS_PER_CENT) for supplier in market.suppliers}
    taxed = {supplier.name: MICROS_PER_CENT + supplier.tax_bp for supplier in market.suppliers}
    bought: dict[str, int] = {}
    paid: dict[str, Fraction] = {}
    for line in basket.lines:
        content = packs[line.pack].content
        for item, share in price_shares(market, content, line.price_cents * taxed[line.supplier], taxed).items():
            bought[item] = bought.get(item, 0) + content[item] * line.count
            paid[item] = paid.get(item, Fraction(0)) + line.goods_cents * MICROS_PER_CENT * tax[line.supplier] * share
    return tuple(ItemCost(item, basket.need.get(item, 0), units, paid[item]) for item, units in bought.items())


def cost_parts(purchase: Purchase, *, minutes_per_batch: float = 0, hourly_rate_cents: float = 0) -> CostBreakdown:
    """The cost of one container, part by part, exactly.

    The goods are split item by item into what the count used up and what is left over; handling, delivery and the tax on them stay one part. Own minutes are
    ``minutes · batches · rate / 60`` and are left out unless both figures are above 0: nobody is paid for them.

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
    plan, basket = purchase.plan, purchase.basket
    minutes, rate = (
        _from_zero(minutes_per_batch, "the minutes for a batch"),
        _from_zero(hourly_rate_cents, "the hourly rate"),
    )
    sums = dict.fromkeys((INGREDIENTS, CONTAINER, LABELS, FEES, LEFT_OVER), Fraction(0))
    goods = Fraction(0)
    for cost in item_costs(plan.market, basket):
        kind = CONTAINER if cost.item == plan.recipe.container else LABELS if cost.item == LABEL else INGREDIENTS
        sums[kind] += cost.used_micros
        sums[LEFT_OVER] += cost.paid_micros - cost.used_micros
        goods += cost.paid_micros
    sums[FEES] = basket.cost_micros - goods
    worked = minutes * plan.batches * rate / 60 * MICROS_PER_CENT
    if worked:
        sums[MINUTES] = worked
    return CostBreakdown(
        plan.containers,
        tuple((name, part / plan.containers) for name, part in sums.items()),
        basket.cost_micros,
        worked,
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
    No table holds a best-before date of a pack. So the recipe's keeping time stands in for it (an assumption: common practice, no source): what further whole batches of this recipe, at its use per
    month, do not use up within the keeping time counted from today is taken to expire. Containers and labels keep. A pack may keep for longer or shorter: its own date decides.
    """
    return left_of(purchase.plan, purchase.plan.market, purchase.plan.batches, purchase.basket)


def used_plus_expiring(plan: Plan, curve: CostCurve) -> tuple[int | None, ...]:
    """What every count of a curve used up, and what of its leftovers will expire unused [0.0001 cent]; see `leftovers` for the assumption.

    Parameters
    ----------
    plan : Plan
    curve : CostCurve
        Of that plan.

    Returns
    -------
    tuple of (int or None)
        None where there is no basket, and everywhere if the keeping time or the use is unknown. Never below what was used up, never above what you pay.
    """
    market = plan.market
    return tuple(
        None if point.basket is None else left_of(plan, market, point.count, point.basket).used_plus_expiring_micros
        for point in curve.points
    )


def left_of(plan: Plan, market: Market, batches: int, basket: Basket) -> Leftovers:
    """`leftovers` of the basket of any count of batches; `market` is the plan's, given so that it is not gathered for every count again."""
    further = further_batches(plan, batches)
    later = None if further is None else need_of(plan.needs, batches + further)
    rows = []
    for cost in item_costs(market, basket):
        left = cost.bought - cost.need
        if left <= 0:
            continue
        if later is None:
            lost = None
        elif cost.item in market.pieces:
            lost = 0
        else:
            lost = max(0, cost.bought - max(later.get(cost.item, 0), cost.need))
        rows.append(
            Leftover(
                cost.item,
                left,
                amount(market, cost.item, left),
                cost.value_micros(left),
                lost,
                None if lost is None else cost.value_micros(lost),
            )
        )
    kept = (
        None if further is None else sum((row.value_micros - (row.expiring_micros or 0) for row in rows), Fraction(0))
    )
    return Leftovers(
        tuple(rows),
        further,
        used_cost_micros(market, basket),
        None if kept is None else half_up(basket.cost_micros - kept),
        basket.cost_micros,
    )


def further_batches(plan: Plan, batches: int) -> int | None:
    """Whole batches that are used up within the recipe's keeping time, counted from today, after so many; None where the keeping time or the use is unknown."""
    recipe = plan.recipe
    if recipe.keeps_months is None or not recipe.use_per_month:
        return None
    in_time = exact_number(recipe.keeps_months, "the keeping time") * exact_number(
        recipe.use_per_month, "the use per month"
    )
    return max(0, int(in_time // plan.batch_size) - batches)


def half_up(amount_micros: Fraction) -> int:
    """An exact amount in whole ten-thousandths of a cent, half upwards."""
    return (2 * amount_micros + 1) // 2


def spans(runs: Iterable[tuple[int, int]]) -> str:
    """Intervals of counts in words: ``8, 10–48``."""
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in runs)


def _scaled(row: Leftover) -> str:
    return (
        row.text
        if row.expiring_units == row.units
        else "nothing"
        if not row.expiring_units
        else f"{row.expiring_units // 10}.{row.expiring_units % 10} g"
    )


def _from_zero(number: float, what: str) -> Fraction:
    value = exact_number(number, what)
    if value < 0:
        msg = f"{what} is {float(value):g}; write 0 or more"
        raise QuantityError(msg)
    return value
