"""How costs behave: fixed costs that rise by steps, a cost split into its variable and its fixed part, and what one unit cost with its part of the fixed overhead.

Source of the formulas, section by section: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (2019). Amounts of money are in one currency [currency]. Every result is worked out as an
exact fraction of the decimal texts that were given, and turned into a float at the end.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

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


def step_fixed_cost(units: float, variable_cost: float, steps: Sequence[tuple[float | None, float]]) -> float:
    """The cost of so many units where the fixed cost rises by steps [currency]: ``fixed of the step + variable cost · units`` (section 2.2).

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

    ``variable = (cost high − cost low) / (activity high − activity low)``, ``fixed = cost high − variable · activity high``. Two points make any line: what lies between is taken on trust.

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
        msg = f"the high point has an activity of {float(many):g} and the low one {float(few):g}; write the period with more activity first"
        raise QuantityError(msg)
    slope = (dear - cheap) / (many - few)
    return float(slope), float(dear - slope * many)


def absorption_unit_cost(
    material: float, labour: float, variable_overhead: float, fixed_overhead: float, units_made: float
) -> float:
    """What one unit cost with its part of the fixed overhead [currency] (section 6.5): ``material + labour + variable overhead + fixed overhead / units made``.

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
    """The fixed overhead that stays in units made and not sold [currency] (section 6.5): ``fixed overhead / units made · units left``.

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
