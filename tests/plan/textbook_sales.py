"""A year of sales and several products sold together, as a textbook reckons them with one unit cost at every count:
what the break-even of the product is checked beside.

Source of the formulas: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (2019), sections 3.1, 3.2,
3.4 and 3.5.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying.markup import from_zero
from maker_kit.errors import QuantityError
from maker_kit.units import exact_number


@dataclass(frozen=True)
class SalesYear:
    """One product, one year.

    Attributes
    ----------
    price, unit_cost, fixed_costs : float
        Of one container, of one container, of the year [currency].
    sold : float
        Containers sold in the year.
    wanted_profit : float
        Before tax [currency].
    contribution : float
        What one container leaves [currency].
    income : float
        What the year leaves before tax [currency]; negative where it is a loss.
    break_even : int or None
        Containers from which on the year makes no loss; None where the price does not cover the unit cost and there is
        something to cover.
    for_wanted_profit : int or None
        Containers that bring the wanted profit; None likewise.
    safety_units, safety_ratio : float or None
        By how many containers, and by what share of them, sales can fall before there is a loss [containers, 1];
        negative where there is one already. None where nothing breaks even or nothing is sold.
    leverage : float or None
        By how many percent the income rises when sales rise by 1 %; None where there is no income.
    """

    price: float
    unit_cost: float
    fixed_costs: float
    sold: float
    wanted_profit: float
    contribution: float
    income: float
    break_even: int | None
    for_wanted_profit: int | None
    safety_units: float | None
    safety_ratio: float | None
    leverage: float | None

    def to_frame(self) -> pd.DataFrame:
        """The year as a table: what, figure."""
        never = "never: the price does not cover the unit cost"
        breaks, wanted = (never if n is None else str(n) for n in (self.break_even, self.for_wanted_profit))
        units = "unknown" if self.safety_units is None else f"{self.safety_units:g}"
        ratio = "unknown" if self.safety_ratio is None else f"{self.safety_ratio * 100:.1f} %"
        rows = [
            ("left of one container", f"{self.contribution:.2f}"),
            ("containers to cover the fixed costs", breaks),
            (f"containers for a profit of {self.wanted_profit:.2f}", wanted),
            (f"left of {self.sold:g} containers after fixed costs", f"{self.income:.2f}"),
            ("containers that sales may fall by", units),
            ("margin of safety", ratio),
        ]
        return pd.DataFrame(rows, columns=["what", "figure"])


@dataclass(frozen=True)
class Product:
    """One of several products sold together.

    Attributes
    ----------
    name : str
    parts : float
        How many are sold in one mix: 5 of this to 3 of that.
    price, unit_cost : float
        Of one container [currency].
    """

    name: str
    parts: float
    price: float
    unit_cost: float


@dataclass(frozen=True)
class SalesMix:
    """Several products against the fixed costs they share.

    Attributes
    ----------
    products : tuple of Product
    mix_price, mix_cost : float
        Price and unit costs of one mix [currency].
    mixes : float
        Mixes at which the fixed costs and the wanted profit are covered, exactly.
    whole_mixes : int
        The same, rounded up.
    """

    products: tuple[Product, ...]
    mix_price: float
    mix_cost: float
    mixes: float
    whole_mixes: int

    def units(self) -> tuple[float, ...]:
        """Containers of each product in so many whole mixes."""
        return tuple(float(exact_number(p.parts, "the parts of a mix") * self.whole_mixes) for p in self.products)

    def to_frame(self) -> pd.DataFrame:
        """One row a product: product, parts in a mix, price, unit cost, containers to break even."""
        rows = zip(self.products, self.units(), strict=True)
        return pd.DataFrame(
            [(p.name, p.parts, f"{p.price:.2f}", f"{p.unit_cost:.2f}", n) for p, n in rows],
            columns=["product", "parts in a mix", "price", "unit cost", "containers"],
        )


def sales_year(
    price: float, unit_cost: float | Fraction, *, sold: float, fixed_costs: float = 0, wanted_profit: float = 0
) -> SalesYear:
    """What a year of sales leaves, and how many have to be sold.

    Parameters
    ----------
    price : float
        Of one container [currency], 0 or more.
    unit_cost : float or Fraction
        Of one container [currency], 0 or more.
    sold : float
        Containers sold in the year, 0 or more.
    fixed_costs : float
        Of the year, whatever is sold [currency]: a stall, a safety assessment, insurance.
    wanted_profit : float
        Before tax [currency], 0 or more.

    Returns
    -------
    SalesYear

    Raises
    ------
    QuantityError
        If a figure is below 0 or no number.
    """
    left = from_zero(price, "the price") - from_zero(unit_cost, "the unit cost")
    count = from_zero(sold, "the count")
    income = count * left - from_zero(fixed_costs, "the fixed costs")
    breaks, wanted = (_units_for(fixed_costs, profit, price, unit_cost) for profit in (0, wanted_profit))
    return SalesYear(
        float(price),
        float(unit_cost),
        float(fixed_costs),
        float(sold),
        float(wanted_profit),
        float(left),
        float(income),
        None if breaks is None else -(-breaks // 1),
        None if wanted is None else -(-wanted // 1),
        None if breaks is None else float(count - breaks),
        None if breaks is None or not count else float((count - breaks) / count),
        float(count * left / income) if income > 0 else None,
    )


def sales_mix(products: Sequence[Product], *, fixed_costs: float, wanted_profit: float = 0) -> SalesMix:
    """How much of several products has to be sold together to cover the fixed costs they share, and a wanted profit.

    Parameters
    ----------
    products : sequence of Product
        With the proportion in which they are sold; it is taken to stay the same.
    fixed_costs, wanted_profit : float
        Of the year [currency], 0 or more.

    Returns
    -------
    SalesMix

    Raises
    ------
    QuantityError
        If a figure is below 0 or no number, the mix is empty, or its price does not cover its unit costs.
    """
    products = tuple(products)
    parts = [from_zero(product.parts, "the parts of a mix") for product in products]
    if not any(parts):
        msg = "a mix holds at least one product; write how many units of each are sold together"
        raise QuantityError(msg)
    price = float(sum(n * from_zero(p.price, "the price") for n, p in zip(parts, products, strict=True)))
    cost = float(sum(n * from_zero(p.unit_cost, "the unit cost") for n, p in zip(parts, products, strict=True)))
    mixes = _units_for(fixed_costs, wanted_profit, price, cost)
    if mixes is None:
        msg = (
            f"one mix sells for {price:.2f} and costs {cost:.2f}, so no count covers the fixed costs; raise a price, "
            "lower a cost, or sell more of what leaves something"
        )
        raise QuantityError(msg)
    return SalesMix(products, price, cost, float(mixes), -(-mixes // 1))


def _units_for(fixed_costs: float, profit: float, price: float, unit_cost: float | Fraction) -> Fraction | None:
    """The exact count that covers fixed costs and profit; 0 where there is nothing to cover and no loss on each, None
    where the price does not cover the unit cost.
    """
    to_cover = from_zero(fixed_costs, "the fixed costs") + from_zero(profit, "the profit")
    left = from_zero(price, "the price") - from_zero(unit_cost, "the unit cost")
    if left > 0:
        return to_cover / left
    return Fraction(0) if left == 0 and to_cover == 0 else None
