"""A selling price and what it leaves: mark-up and margin told apart.

Source of the formulas: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (2019), sections 3.1, 3.2,
3.4 and 3.5. They take the unit cost as the same at every count; bought by the pack it is not, so take it from the count
that will be made.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.buying import markup
from maker_kit.buying.markup import from_zero
from maker_kit.money import money_of
from maker_kit.units import exact_number


@dataclass(frozen=True)
class SellingPrices:
    """The floor and two prices above it.

    Attributes
    ----------
    floor : float
        What one container costs [currency]; below it every one sold is a loss.
    markup_percent, price_at_markup : float
        What is added, in % of the cost, and the price that comes of it [currency].
    margin_percent, price_at_margin : float
        What is left, in % of the price, and the price that leaves it [currency].
    """

    floor: float
    markup_percent: float
    price_at_markup: float
    margin_percent: float
    price_at_margin: float

    def to_frame(self) -> pd.DataFrame:
        """Three prices, rounded up to whole cents so that none leaves less than asked: name, price, left over the cost,
        mark-up [% of cost], margin [% of price].
        """
        rows = []
        for name, price in (
            ("floor: what one costs", self.floor),
            (f"mark-up of {self.markup_percent:g} % of the cost", self.price_at_markup),
            (f"margin of {self.margin_percent:g} % of the price", self.price_at_margin),
        ):
            asked, free = cents_up(price) / 100, "none: it costs nothing"
            left = float(exact_number(asked, "the price") - exact_number(self.floor, "the cost"))
            added = f"{markup.markup_percent(self.floor, asked):.1f}" if self.floor else free
            kept = f"{markup.margin_percent(self.floor, asked):.1f}" if asked else free
            rows.append((name, money_of(asked), money_of(left), added, kept))
        return pd.DataFrame(
            rows, columns=["price", "asked", "left over the cost", "mark-up, % of cost", "margin, % of price"]
        )


def selling_prices(unit_cost: float | Fraction, *, markup_percent: float, margin_percent: float) -> SellingPrices:
    """The floor, the price with a mark-up on the cost, and the price with a margin on the price; 10 at 50 % is 15 by
    the one and 20 by the other.

    Parameters
    ----------
    unit_cost : float or Fraction
        Of one container [currency], 0 or more.
    markup_percent : float
        Of the cost [%], 0 or more.
    margin_percent : float
        Of the price [%], from 0 to below 100.

    Returns
    -------
    SellingPrices

    Raises
    ------
    QuantityError
        If a figure is out of range or no number.
    """
    return SellingPrices(
        float(from_zero(unit_cost, "the cost")),
        float(exact_number(markup_percent, "a mark-up in %")),
        markup.price_at_markup(unit_cost, markup_percent),
        float(exact_number(margin_percent, "a margin in %")),
        markup.price_at_margin(unit_cost, margin_percent),
    )


def cents_up(price: float) -> int:
    """A price in whole cents, rounded up."""
    return -(-exact_number(price, "the price") * 100 // 1)
