"""The most of an ingredient that keeps a recipe within a limit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from maker_kit.formula.inside.composition import Expansion, Part
from maker_kit.formula.limits.judging import Judgement, counted, high_inside
from maker_kit.formula.limits.limit import Limit
from maker_kit.numbers import HUNDREDTH, exact_number, round_down


def most_in_line(judged: Judgement, expansion: Expansion, line: str, step: Fraction = HUNDREDTH) -> float | None:
    """Most of one ingredient that keeps a recipe within one limit, the other lines left as they are [% of the whole].

    Parameters
    ----------
    judged : Judgement
        With a figure.
    expansion : Expansion
    line : str
        The ingredient.
    step : Fraction
        What it is rounded down to [%].

    Returns
    -------
    float or None
        As `most_of` gives it.
    """
    return most_of(expansion.inside[line], judged.limit, judged.most, expansion.others(line), step)


def most_of(
    parts: Mapping[str, Part],
    limit: Limit,
    most: Fraction,
    others: Callable[[str], Fraction],
    step: Fraction = HUNDREDTH,
) -> float | None:
    """Most of an ingredient that keeps one limit [% of the whole], rounded down to the step.

    ``most − what the others bring``, divided by what 1 % of it brings, both counted as the limit counts, at the high
    ends.

    Parameters
    ----------
    parts : Mapping of str to Part
        What is inside the ingredient.
    limit : Limit
    most : Fraction
        The figure that counts [%].
    others : callable
        Known high [% of the whole] of a substance from all other lines.
    step : Fraction
        What it is rounded down to [%].

    Returns
    -------
    float or None
        None where the ingredient holds nothing that counts, or may be used pure.
    """

    def total(percent: Fraction) -> Fraction:
        return counted(limit, lambda n: others(n) + high_inside(parts, n) * percent)

    unit = sum((high_inside(parts, n) * exact_number(f) for n, f in limit.counts), Fraction(0))
    if not unit or total(Fraction(100)) <= most:
        return None
    if total(Fraction(0)) > most:
        return 0.0
    base = sum((others(n) * exact_number(f) for n, f in limit.counts), Fraction(0))
    steps = min((most - base) / unit, Fraction(100)) // step + 2
    while steps > 0 and total(steps * step) > most:
        steps -= 1
    return round_down(steps * step, step)
