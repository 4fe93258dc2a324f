"""New percentages that add up as the old ones did, and the batch that what is there allows: no plan needs more than
there is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from maker_kit.formula.batch import as_bought
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import exact_number, floor_to

STEP = Fraction(1, 1_000_000)
"""Step to which new percentages are rounded down [%]: a hundredth of a gram in a tonne."""


def exact_percents(recipe: Recipe) -> list[Fraction]:
    """The percent of every line [%], exactly as written."""
    return [exact_number(line.percent, f"the percent of {line.ingredient}") for line in recipe.lines]


def percent_in(recipe: Recipe, name: str) -> Fraction:
    """Percent of the whole [%] of one ingredient, exactly; 0 where no line holds it."""
    pairs = zip(recipe.lines, exact_percents(recipe), strict=True)
    return sum(percent for line, percent in pairs if line.ingredient == name)


def with_percents(recipe: Recipe, percents: Sequence[Fraction]) -> Recipe:
    """The recipe with other percentages, rounded down to `STEP`.

    The balance line, or the largest where there is none, takes what the rounding leaves.

    Parameters
    ----------
    recipe : Recipe
    percents : sequence of Fraction
        One a line [% of the whole].

    Returns
    -------
    Recipe
    """
    rounded = [floor_to(p, STEP) for p in percents]
    largest = max(range(len(rounded)), key=lambda k: rounded[k])
    taker = next((k for k, line in enumerate(recipe.lines) if line.balance), largest)
    rounded[taker] += sum(percents) - sum(rounded)
    lines = (replace(line, percent=float(p)) for line, p in zip(recipe.lines, rounded, strict=True))
    return replace(recipe, lines=tuple(lines))


def largest_batch(recipe: Recipe, have: Mapping[str, Fraction], most: Fraction) -> tuple[Fraction, str]:
    """The largest batch [g], at most `most`, that needs no more of anything than there is, and what bounds it, if
    anything.

    ``min(have · 100 / percent)`` over what is named: the scarcest rules (proportion).
    """
    reach = {
        name: have[name] * 100 / share for name, share in as_bought(recipe, frozenset(have)).items() if name in have
    }
    first = min(reach, key=lambda name: reach[name], default="")
    return (reach[first], first) if first and reach[first] < most else (most, "")
