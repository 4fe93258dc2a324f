"""One base in many scents, in a workshop: judged by all that holds there, with the shopping list for the whole."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.formula.batch import as_bought
from maker_kit.formula.changes.rescaling import with_percents
from maker_kit.formula.changes.split import UNSCENTED, ScentShare, Split, split_scents
from maker_kit.formula.recipe import Line, Recipe
from maker_kit.plan.needs_cost import NeedsCost, cost_of_needs, judge_in, pieces_for
from maker_kit.plan.plan import asked_level
from maker_kit.units import exact_number, parse_amount
from maker_kit.workshop import Workshop

SOME_LOAD = 0.5
"""Where a slider of the load begins for a recipe without a scent [% of the whole]."""


@dataclass(frozen=True)
class SplitPlan:
    """A split with what it costs.

    Attributes
    ----------
    split : Split
    cost : NeedsCost
        Of base, scents, containers and labels together; the base that there is need not be paid again, but is used up.
    currency : str
    """

    split: Split
    cost: NeedsCost
    currency: str


def plan_split(
    workshop: Workshop, recipe: str | Recipe, shares: Iterable[tuple[str, float, int]], have_base_g: float | None = None
) -> SplitPlan:
    """Split one base into many scents, with the shopping list.

    Parameters
    ----------
    workshop : Workshop
    recipe : str or Recipe
    shares : iterable of (str, float, int)
        Scent, fragrance load of the whole [%], containers; an empty name with a load of 0 stays unscented.
    have_base_g : float, optional
        Base that there is [g], ready mixed; it is taken off before anything is bought.

    Returns
    -------
    SplitPlan

    Raises
    ------
    UnknownNameError
        If the recipe or a scent is unknown, or an ingredient named is no scent.
    QuantityError, RecipeError
        As `split_scents` does; also where a load is suspiciously small (above 0 and below 0.01 %).
    """
    made = workshop.recipe(recipe)
    wanted = [
        ScentShare(
            workshop.scent(name) if name.strip() else None,
            asked_level(load, f"a fragrance load of {name or UNSCENTED}"),
            count,
        )
        for name, load, count in shares
    ]
    split = split_scents(made, wanted, have_base_g, judge_in(workshop), workshop.limits)
    needs: dict[str, Fraction] = {}
    for part in split.parts:
        for name, share in as_bought(part.recipe).items():
            needs[name] = needs.get(name, Fraction(0)) + part.exact_mass_g * share / 100
    there = _as_bought_base(made, split, exact_number(have_base_g, "the base there is in g")) if have_base_g else {}
    return SplitPlan(
        split, cost_of_needs(workshop, needs, pieces_for(made, split.labels), there), workshop.settings.currency
    )


def likely_load(recipe: Recipe) -> float:
    """The fragrance load to begin with [% of the whole]: the recipe's own, else `SOME_LOAD`."""
    return sum(recipe.percent_of(scent) for scent in recipe.scents[:1]) or SOME_LOAD


def _as_bought_base(recipe: Recipe, split: Split, mass_g: Fraction) -> dict[str, Fraction]:
    """What so much ready base is made of, as it is bought [g]."""
    percents = [100 * mass / split.exact_base_g for _, mass in split.base]
    base = with_percents(
        replace(recipe, lines=tuple(Line("A", name, 0.0) for name, _ in split.base), scent=""), percents
    )
    return {name: mass_g * share / 100 for name, share in as_bought(base).items()}


def base_in_g(workshop: Workshop, recipe: str | Recipe, text: str) -> float | None:
    """The base there is [g], from text such as ``2 gallons``: a volume by the density of a base that is one ingredient,
    else by the recipe's.

    Parameters
    ----------
    workshop : Workshop
    recipe : str or Recipe
        The recipe without its scent is the base.
    text : str
        An amount with its unit; blank where it is not known.

    Returns
    -------
    float or None

    Raises
    ------
    QuantityError
        If it is no amount by mass or volume, or its basis is unknown.
    UnknownNameError
        If there is no such recipe.
    """
    if not text.strip():
        return None
    made = workshop.recipe(recipe)
    amount = parse_amount(text, zero_ok=True)
    if amount.basis == "pieces":
        raise QuantityError(
            f'"{text.strip()}" counts pieces; the base there is is weighed or measured: '
            "write it such as 7.5 kg or 2 gallons"
        )
    base = {line.ingredient for line in made.lines if line.ingredient != made.scent and line.percent}
    density = made.ingredients[next(iter(base))].density_g_per_ml if len(base) == 1 else made.density_g_per_ml
    return float(amount.exact_grams(density))
