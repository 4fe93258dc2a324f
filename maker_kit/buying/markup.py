"""What a price adds to a cost and what it leaves: mark-up in percent of the cost, margin in percent of the price.

Common practice, no source. Amounts of money are in one currency [currency]. Every result is worked out as an exact
fraction of the decimal texts that were given, and turned into a float at the end.
"""

from __future__ import annotations

from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.units import exact_number


def from_zero(number: float, what: str) -> Fraction:
    """The number exactly.

    Raises
    ------
    QuantityError
        If it is below 0, or no number.
    """
    value = exact_number(number, what)
    if value < 0:
        msg = f"{what} is {float(value):g}; it is 0 or more"
        raise QuantityError(msg)
    return value


def above_zero(number: float, what: str) -> Fraction:
    """The number exactly.

    Raises
    ------
    QuantityError
        If it is not above 0, or no number.
    """
    value = exact_number(number, what)
    if value <= 0:
        msg = f"{what} is {float(value):g}; it has to be above 0"
        raise QuantityError(msg)
    return value


def price_at_markup(cost: float, markup_percent: float) -> float:
    """The price that adds a percentage of the cost [currency]: ``cost · (1 + mark-up)``.

    10 at a mark-up of 50 % sells at 15.

    Raises
    ------
    QuantityError
        If a number is below 0 or none.
    """
    return float(from_zero(cost, "the cost") * (1 + from_zero(markup_percent, "a mark-up in %") / 100))


def price_at_margin(cost: float, margin_percent: float) -> float:
    """The price of which a percentage is left after the cost [currency]: ``cost / (1 − margin)``.

    10 at a margin of 50 % sells at 20.

    Raises
    ------
    QuantityError
        If the cost is below 0 or no number, or the margin is not from 0 to below 100 %.
    """
    margin = exact_number(margin_percent, "a margin")
    if not 0 <= margin < 100:
        msg = f"a margin of {float(margin):g} %: it is 0 % or more and below 100 %"
        raise QuantityError(msg)
    return float(from_zero(cost, "the cost") / (1 - margin / 100))


def markup_percent(cost: float, price: float) -> float:
    """What a price adds, in percent of the cost [%]: ``(price − cost) / cost · 100``.

    Raises
    ------
    QuantityError
        If an amount is below 0 or no number, or the cost is 0.
    """
    base = above_zero(cost, "the cost")
    return float((from_zero(price, "the price") - base) / base * 100)


def margin_percent(cost: float, price: float) -> float:
    """What is left of a price after the cost, in percent of the price [%]: ``(price − cost) / price · 100``.

    Raises
    ------
    QuantityError
        If an amount is below 0 or no number, or the price is 0.
    """
    sold = above_zero(price, "the price")
    return float((sold - from_zero(cost, "the cost")) / sold * 100)
