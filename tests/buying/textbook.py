"""The textbook's cost arithmetic, which the product does not need and its sales plan is checked against.

For costs that are a straight line of the count: a fixed cost, and the same variable cost for every unit. Source of the
formulas, section by section: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (2019). Amounts are in
one currency.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from maker_kit.buying.markup import above_zero, from_zero
from maker_kit.errors import QuantityError
from maker_kit.units import exact_number


def contribution_margin(price: float, variable_cost: float) -> float:
    """What one unit leaves for fixed cost and profit [currency]: ``price − variable cost`` (section 3.1). It may be
    negative.

    Raises
    ------
    QuantityError
        If an amount is below 0 or no number.
    """
    return float(from_zero(price, "the price") - from_zero(variable_cost, "the variable cost"))


def contribution_margin_ratio(price: float, variable_cost: float) -> float:
    """The share of the price that is left for fixed cost and profit [1]: ``(price − variable cost) / price`` (section
    3.1).

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
        msg = (
            f"a contribution margin ratio of {float(ratio):g}: it is above 0 and at most 1; from 0 down, no "
            f"revenue breaks even"
        )
        raise QuantityError(msg)
    return float(from_zero(fixed_cost, "the fixed cost") / ratio)


def operating_income(units: float, fixed_cost: float, price: float, variable_cost: float) -> float:
    """What so many units leave before tax [currency]: ``units · (price − variable cost) − fixed`` (section 3.2).
    Negative where it is a loss.

    Raises
    ------
    QuantityError
        If a number is below 0 or none.
    """
    margin = from_zero(price, "the price") - from_zero(variable_cost, "the variable cost")
    return float(from_zero(units, "the count") * margin - from_zero(fixed_cost, "the fixed cost"))


def target_profit_units(profit: float, fixed_cost: float, price: float, variable_cost: float) -> float:
    """The count that brings a wanted profit before tax, exactly [units]:
    ``(fixed + profit) / (price − variable cost)`` (section 3.2).

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
    """By how much sales can fall before there is a loss, in what they are given in (money or units): ``sales −
    break-even sales`` (section 3.5). Negative below break-even.

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
        If the contribution is below 0 or no number, or the income is not above 0: at break-even and below the degree
        has no meaning.
    """
    return float(from_zero(contribution, "the contribution margin") / above_zero(income, "the operating income"))


def composite_unit(products: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    """Price and variable cost of one composite unit: several products in the proportion in which they are sold (section
    3.4).

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


def _units(fixed_cost: float, profit: float, price: float, variable_cost: float) -> Fraction:
    margin = from_zero(price, "the price") - from_zero(variable_cost, "the variable cost")
    wanted = from_zero(fixed_cost, "the fixed cost") + from_zero(profit, "the profit")
    if margin <= 0:
        msg = (
            f"a price of {float(price):g} does not cover the variable cost of {float(variable_cost):g} a "
            f"unit: no count breaks even; raise the price or lower that cost"
        )
        raise QuantityError(msg)
    return wanted / margin


def _percent_below_100(percent: float, what: str) -> Fraction:
    value = exact_number(percent, what)
    if not 0 <= value < 100:
        msg = f"{what} of {float(value):g} %: it is 0 % or more and below 100 %"
        raise QuantityError(msg)
    return value / 100


def step_fixed_cost(units: float, variable_cost: float, steps: Sequence[tuple[float | None, float]]) -> float:
    """The cost of so many units where the fixed cost rises by steps [currency]: ``fixed of the step + variable cost ·
    units`` (section 2.2).

    Parameters
    ----------
    units : float
        0 or more.
    variable_cost : float
        Of one unit [currency].
    steps : sequence of (float or None, float)
        Largest count of the step (it still belongs to it; None for any), and the fixed cost up to there [currency].

    Raises
    ------
    QuantityError
        If a number is below 0 or none, the steps do not rise, or the last one ends below the count.
    """
    count, each = from_zero(units, "the count"), from_zero(variable_cost, "the variable cost")
    ends = [None if most is None else from_zero(most, "the end of a step") for most, _ in steps]
    if any(a is None or (b is not None and b <= a) for a, b in pairwise(ends)):
        msg = "the steps of a fixed cost stand in the order of their counts, and only the last may be without end"
        raise QuantityError(msg)
    for end, (_, fixed) in zip(ends, steps, strict=True):
        if end is None or count <= end:
            return float(from_zero(fixed, "the fixed cost") + each * count)
    msg = f"{float(count):g} units lie beyond the last step of the fixed cost; add a step that reaches them"
    raise QuantityError(msg)


def high_low(high: tuple[float, float], low: tuple[float, float]) -> tuple[float, float]:
    """A cost split into its variable and its fixed part from the busiest and the quietest period (section 2.3).

    ``variable = (cost high − cost low) / (activity high − activity low)``, ``fixed = cost high −
    variable · activity high``. Two points make any line: what lies between is taken on trust.

    Parameters
    ----------
    high, low : (float, float)
        Activity [units, or hours] and cost [currency]; the higher activity first.

    Returns
    -------
    tuple of float
        Variable cost of one unit of activity, and fixed cost [currency].

    Raises
    ------
    QuantityError
        If a number is below 0 or none, or the first activity is not above the second.
    """
    (many, dear), (few, cheap) = (
        (from_zero(activity, "the activity"), from_zero(cost, "the cost")) for activity, cost in (high, low)
    )
    if many <= few:
        msg = (
            f"the high point has an activity of {float(many):g} and the low one {float(few):g}; write the "
            f"period with more activity first"
        )
        raise QuantityError(msg)
    slope = (dear - cheap) / (many - few)
    return float(slope), float(dear - slope * many)


def absorption_unit_cost(
    material: float, labour: float, variable_overhead: float, fixed_overhead: float, units_made: float
) -> float:
    """What one unit cost with its part of the fixed overhead [currency] (section 6.5): ``material + labour + variable
    overhead + fixed overhead / units made``.

    Parameters
    ----------
    material, labour, variable_overhead : float
        Of one unit [currency].
    fixed_overhead : float
        Of the whole period [currency].
    units_made : float
        Made (not sold) in the period, above 0.

    Raises
    ------
    QuantityError
        If an amount is below 0 or no number, or nothing was made.
    """
    each = (
        from_zero(material, "the material")
        + from_zero(labour, "the labour")
        + from_zero(variable_overhead, "the variable overhead")
    )
    return float(each + from_zero(fixed_overhead, "the fixed overhead") / above_zero(units_made, "the count made"))


def fixed_overhead_in_stock(fixed_overhead: float, units_made: float, units_left: float) -> float:
    """The fixed overhead that stays in units made and not sold [currency] (section 6.5): ``fixed overhead / units made
    · units left``.

    Raises
    ------
    QuantityError
        If a number is below 0 or none, nothing was made, or more is left than was made.
    """
    made, left = above_zero(units_made, "the count made"), from_zero(units_left, "the count left")
    if left > made:
        msg = f"{float(left):g} units are left of {float(made):g} made; no more can be left than was made"
        raise QuantityError(msg)
    return float(from_zero(fixed_overhead, "the fixed overhead") * left / made)
