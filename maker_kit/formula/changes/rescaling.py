"""New percentages that add up as the old ones did, and the batch that what is there allows: no plan needs more than there is."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from maker_kit.formula.batch import as_bought, exact_batch_mass, exact_fill_mass
from maker_kit.formula.recipe import Recipe
from maker_kit.units import exact_number

STEP = Fraction(1, 1_000_000)
"""Step to which new percentages are rounded [%]: a hundredth of a gram in a tonne."""


def down(value: Fraction) -> Fraction:
    """The largest multiple of `STEP` that is not above the value."""
    return value // STEP * STEP


def exact_percents(recipe: Recipe) -> list[Fraction]:
    """The percent of every line [%], exactly as written."""
    return [exact_number(line.percent, f"the percent of {line.ingredient}") for line in recipe.lines]


def with_percents(recipe: Recipe, percents: Sequence[Fraction]) -> Recipe:
    """The recipe with other percentages, rounded down to `STEP`; the balance line, or the largest where there is none, takes what the rounding leaves.

    Parameters
    ----------
    recipe : Recipe
    percents : sequence of Fraction
        One a line [% of the whole].

    Returns
    -------
    Recipe
    """
    rounded = [down(p) for p in percents]
    taker = next(
        (k for k, line in enumerate(recipe.lines) if line.balance), max(range(len(rounded)), key=lambda k: rounded[k])
    )
    rounded[taker] += sum(percents, Fraction(0)) - sum(rounded, Fraction(0))
    return replace(
        recipe, lines=tuple(replace(line, percent=float(p)) for line, p in zip(recipe.lines, rounded, strict=True))
    )


def largest_batch(recipe: Recipe, have: Mapping[str, Fraction], most: Fraction) -> tuple[Fraction, str]:
    """The largest batch [g], at most `most`, that needs no more of anything than there is, and what bounds it (empty where nothing does).

    ``min(have · 100 / percent)`` over what is named: the scarcest rules (proportion).
    """
    best, first = most, ""
    for name, share in as_bought(recipe, frozenset(have)).items():
        if name in have and have[name] * 100 / share < best:
            best, first = have[name] * 100 / share, name
    return best, first


def containers_in(recipe: Recipe, batch_g: Fraction) -> Fraction:
    """Containers that a batch fills, before rounding down: ``(batch − film) / (V · ρ · (1 + loss / 100))``."""
    film = exact_number(recipe.film_g, f"the film of {recipe.title} in g")
    one = exact_fill_mass(recipe) * (1 + exact_number(recipe.loss_percent, f"the loss of {recipe.title} in %") / 100)
    return max((batch_g - film) / one, Fraction(0))


def mass_for(recipe: Recipe, containers: int) -> Fraction:
    """The batch for so many containers [g]; 0 for none."""
    return exact_batch_mass(recipe, containers) if containers else Fraction(0)


def needs_of(recipe: Recipe, batch_g: Fraction, in_hand: frozenset[str]) -> dict[str, Fraction]:
    """What a batch takes of each bought ingredient [g], exactly."""
    return {name: batch_g * share / 100 for name, share in as_bought(recipe, in_hand).items()}


def full(count: Fraction) -> int:
    """Full containers: rounded down."""
    return math.floor(count)
