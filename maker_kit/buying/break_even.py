"""The textbook's break-even arithmetic: contribution margin, break-even point, target profit, margin of safety, leverage, mark-up and margin.

For costs that are a straight line of the count: a fixed cost, and the same variable cost for every unit. Bought by the pack they are not; the curve of `maker_kit.buying.costing` is for that.
Source of the formulas, section by section: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (2019). Amounts of money are in one currency [currency]; a unit is one piece sold.
Every result is worked out as an exact fraction of the decimal texts that were given, and turned into a float at the end.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from maker_kit.buying.unit_cost import above_zero, from_zero
from maker_kit.errors import QuantityError
from maker_kit.units import exact_number


def contribution_margin(price: float, variable_cost: float) -> float:
    """What one unit leaves for fixed cost and profit [currency]: ``price − variable cost`` (section 3.1). It may be negative.

    Raises
    ------
    QuantityError
        If an amount is below 0 or no number.
    """
    return float(from_zero(price, "the price") - from_zero(variable_cost, "the variable cost"))


def contribution_margin_ratio(price: float, variable_cost: float) -> float:
    """The share of the price that is left for fixed cost and profit [1]: ``(price − variable cost) / price`` (section 3.1).

    Raises
    ------
    QuantityError
        If an amount is below 0 or no number, or the price is 0.
    """
    sold = above_zero(price, "the price")
    return float((sold - from_zero(variable_cost, "the variable cost")) / sold)


def break_even_units(fixed_cost: float, price: float, variable_cost: float) -> float:
    """The count at which revenue equals cost, exactly [units]: ``fixed / (price − variable cost)`` (section 3.2).

    Parameters
    ----------
    fixed_cost : float
        [currency], 0 or more.
    price, variable_cost : float
        Of one unit [currency].

    Raises
    ------
    QuantityError
        If an amount is below 0 or no number, or the price does not cover the variable cost: then no count breaks even.
    """
    return float(_units(fixed_cost, 0, price, variable_cost))


def break_even_whole_units(fixed_cost: float, price: float, variable_cost: float) -> int:
    """The least whole count at which revenue covers cost: `break_even_units`, rounded up exactly (section 3.2).

    Raises
    ------
    QuantityError
        As `break_even_units` does.
    """
    return -(-_units(fixed_cost, 0, price, variable_cost) // 1)


def break_even_revenue(fixed_cost: float, margin_ratio: float) -> float:
    """The revenue at which it equals cost [currency]: ``fixed / contribution margin ratio`` (section 3.2).

    Parameters
    ----------
    fixed_cost : float
        [currency], 0 or more.
    margin_ratio : float
        Contribution margin ratio, above 0 and at most 1.

    Raises
    ------
    QuantityError
        If the fixed cost is below 0, or the ratio is out of range.
    """
    ratio = exact_number(margin_ratio, "the contribution margin ratio")
    if not 0 < ratio <= 1:
        msg = f"a contribution margin ratio of {float(ratio):g}: it is above 0 and at most 1; from 0 down, no revenue breaks even"
        raise QuantityError(msg)
    return float(from_zero(fixed_cost, "the fixed cost") / ratio)


def operating_income(units: float, fixed_cost: float, price: float, variable_cost: float) -> float:
    """What so many units leave before tax [currency]: ``units · (price − variable cost) − fixed`` (section 3.2). Negative where it is a loss.

    Raises
    ------
    QuantityError
        If a number is below 0 or none.
    """
    margin = from_zero(price, "the price") - from_zero(variable_cost, "the variable cost")
    return float(from_zero(units, "the count") * margin - from_zero(fixed_cost, "the fixed cost"))


def target_profit_units(profit: float, fixed_cost: float, price: float, variable_cost: float) -> float:
    """The count that brings a wanted profit before tax, exactly [units]: ``(fixed + profit) / (price − variable cost)`` (section 3.2).

    For a profit after tax, put it through `profit_before_tax` first.

    Raises
    ------
    QuantityError
        As `break_even_units` does, or if the profit is below 0.
    """
    return float(_units(fixed_cost, profit, price, variable_cost))


def profit_before_tax(profit_after_tax: float, tax_percent: float) -> float:
    """The profit before tax that leaves a wanted profit after it [currency]: ``after tax / (1 − tax)`` (section 3.2).

    Parameters
    ----------
    profit_after_tax : float
        [currency], 0 or more.
    tax_percent : float
        Tax on profit [%], from 0 to below 100.

    Raises
    ------
    QuantityError
        If a number is out of range.
    """
    return float(
        from_zero(profit_after_tax, "the profit after tax") / (1 - _percent_below_100(tax_percent, "a tax on profit"))
    )


def margin_of_safety(sales: float, break_even_sales: float) -> float:
    """By how much sales can fall before there is a loss, in what they are given in (money or units): ``sales − break-even sales`` (section 3.5). Negative below break-even.

    Raises
    ------
    QuantityError
        If an amount is below 0 or no number.
    """
    return float(from_zero(sales, "the sales") - from_zero(break_even_sales, "the break-even sales"))


def margin_of_safety_ratio(sales: float, break_even_sales: float) -> float:
    """By what share sales can fall before there is a loss [1]: ``(sales − break-even sales) / sales`` (section 3.5).

    Raises
    ------
    QuantityError
        If an amount is below 0 or no number, or the sales are 0.
    """
    sold = above_zero(sales, "the sales")
    return float((sold - from_zero(break_even_sales, "the break-even sales")) / sold)


def operating_leverage(contribution: float, income: float) -> float:
    """The degree of operating leverage [1]: ``contribution margin / operating income``, both in total (section 3.5).

    Sales that rise by 1 % make operating income rise by so many percent, as long as the costs stay a straight line.

    Raises
    ------
    QuantityError
        If the contribution is below 0 or no number, or the income is not above 0: at break-even and below the degree has no meaning.
    """
    return float(from_zero(contribution, "the contribution margin") / above_zero(income, "the operating income"))


def composite_unit(products: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    """Price and variable cost of one composite unit: several products in the proportion in which they are sold (section 3.4).

    Parameters
    ----------
    products : sequence of (float, float, float)
        Units of the product in one composite unit, price and variable cost of one unit [currency].

    Returns
    -------
    tuple of float
        ``Σ units · price`` and ``Σ units · variable cost`` [currency], for `break_even_units`.

    Raises
    ------
    QuantityError
        If a number is below 0 or none, or the mix is empty.
    """
    mix = [
        (
            from_zero(units, "the units of a product"),
            from_zero(price, "the price"),
            from_zero(cost, "the variable cost"),
        )
        for units, price, cost in products
    ]
    if not any(units for units, _, _ in mix):
        msg = "a composite unit holds at least one product; write how many units of each are sold together"
        raise QuantityError(msg)
    return float(sum(units * price for units, price, _ in mix)), float(sum(units * cost for units, _, cost in mix))


def price_at_markup(cost: float, markup_percent: float) -> float:
    """The price that adds a percentage of the cost [currency]: ``cost · (1 + mark-up)``. 10 at a mark-up of 50 % sells at 15 (common practice, no source).

    Raises
    ------
    QuantityError
        If a number is below 0 or none.
    """
    return float(from_zero(cost, "the cost") * (1 + from_zero(markup_percent, "a mark-up in %") / 100))


def price_at_margin(cost: float, margin_percent: float) -> float:
    """The price of which a percentage is left after the cost [currency]: ``cost / (1 − margin)``. 10 at a margin of 50 % sells at 20 (common practice, no source).

    Raises
    ------
    QuantityError
        If the cost is below 0 or no number, or the margin is not from 0 to below 100 %.
    """
    return float(from_zero(cost, "the cost") / (1 - _percent_below_100(margin_percent, "a margin")))


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


def _units(fixed_cost: float, profit: float, price: float, variable_cost: float) -> Fraction:
    margin = from_zero(price, "the price") - from_zero(variable_cost, "the variable cost")
    wanted = from_zero(fixed_cost, "the fixed cost") + from_zero(profit, "the profit")
    if margin <= 0:
        msg = f"a price of {float(price):g} does not cover the variable cost of {float(variable_cost):g} a unit: no count breaks even; raise the price or lower that cost"
        raise QuantityError(msg)
    return wanted / margin


def _percent_below_100(percent: float, what: str) -> Fraction:
    value = exact_number(percent, what)
    if not 0 <= value < 100:
        msg = f"{what} of {float(value):g} %: it is 0 % or more and below 100 %"
        raise QuantityError(msg)
    return value / 100
