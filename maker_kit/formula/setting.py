"""A recipe with a level, the fragrance load or an ingredient set otherwise: what the sliders do."""

from __future__ import annotations

import math
from dataclasses import replace

from maker_kit.errors import QuantityError, RecipeError
from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.recipe import Recipe, exact_percent


def with_level(recipe: Recipe, ingredient: str, percent: float) -> Recipe:
    """The recipe with one ingredient at another level; the balance line takes the difference.

    Parameters
    ----------
    recipe : Recipe
    ingredient : str
        Name of a line that is not the balance.
    percent : float
        New level, of the whole [%], 0 to 100.

    Returns
    -------
    Recipe

    Raises
    ------
    UnknownNameError
        If no line holds the ingredient.
    RecipeError
        If the recipe has no balance line, the ingredient is the balance, or the balance would fall below zero.
    """
    old = recipe.percent_of(ingredient)
    if not 0 <= percent <= 100:
        raise RecipeError(f"{ingredient} at {percent} %: a level lies between 0 and 100 % of the whole")
    balance = next((line for line in recipe.lines if line.balance), None)
    if balance is None:
        raise RecipeError(
            f"{recipe.title} has no line marked as the balance, so nothing can take up a change of {ingredient}"
        )
    if balance.ingredient == ingredient:
        raise RecipeError(f"{ingredient} is the balance of {recipe.title}: it makes up 100 and is not set by hand")
    left = exact_percent(balance.percent) - (exact_percent(percent) - exact_percent(old))
    if left < 0:
        most = exact_percent(balance.percent) + exact_percent(old)
        raise RecipeError(
            f"{ingredient} at {percent:g} % leaves {balance.ingredient} at {left.normalize():f} %, below zero; "
            f"{recipe.title} holds at most {most.normalize():f} % of it"
        )
    first = next(k for k, line in enumerate(recipe.lines) if line.ingredient == ingredient)
    lines = tuple(
        replace(line, percent=float(left))
        if line is balance
        else replace(line, percent=float(exact_percent(percent)))
        if k == first
        else line
        for k, line in enumerate(recipe.lines)
        if k == first or line.ingredient != ingredient
    )
    return replace(recipe, lines=lines)


def load_on_whole(percent_on_base: float) -> float:
    """A fragrance load given on the base, as percent of the whole [%].

    ``whole = 100 · b / (100 + b)`` with `b` grams of scent in 100 g of base; arithmetic, good for any b ≥ 0.

    Raises
    ------
    QuantityError
        If the load is negative or no number.
    """
    if not 0 <= percent_on_base < math.inf:
        raise QuantityError(f"a fragrance load of {percent_on_base} % on the base: a load is a number, 0 or more")
    return percent_on_base / (1 + percent_on_base / 100)


def load_on_base(percent_of_whole: float) -> float:
    """A fragrance load of the whole, as percent on the base [%]: ``100 · w / (100 − w)`` for 0 ≤ w < 100.

    Raises
    ------
    QuantityError
        If the load is outside that range.
    """
    if not 0 <= percent_of_whole < 100:
        raise QuantityError(f"a fragrance load of {percent_of_whole} % of the whole: it lies from 0 to below 100")
    return 100 * percent_of_whole / (100 - percent_of_whole)


def with_fragrance_load(recipe: Recipe, percent: float, basis: str = "whole") -> Recipe:
    """The recipe at another fragrance load.

    Parameters
    ----------
    recipe : Recipe
    percent : float
        Load [%].
    basis : {'whole', 'base'}
        Percent of the finished product, or grams of scent to 100 g of base.

    Raises
    ------
    RecipeError
        If the recipe has no scent, the basis is neither, or the balance cannot hold the load.
    """
    if not recipe.scent:
        raise RecipeError(f"{recipe.title} has no scent line, so it has no fragrance load to set")
    if basis not in {"whole", "base"}:
        raise RecipeError(f'a fragrance load is given on the "whole" or on the "base", not on "{basis}"')
    return with_level(recipe, recipe.scent, percent if basis == "whole" else load_on_whole(percent))


def with_thickener_level(recipe: Recipe, percent: float) -> Recipe:
    """The recipe at another thickener level [% of the whole].

    Raises
    ------
    RecipeError
        If the recipe has no thickener, or the balance cannot hold the level.
    """
    if not recipe.thickener:
        raise RecipeError(f"{recipe.title} has no thickener line, so it has no thickener level to set")
    return with_level(recipe, recipe.thickener, percent)


def with_ingredient(recipe: Recipe, old: str, new: Ingredient) -> Recipe:
    """The recipe with one ingredient replaced by another at the same level (another scent, say); the limits have to be
    judged again.

    Raises
    ------
    UnknownNameError
        If no line holds `old`.
    """
    recipe.percent_of(old)
    return replace(
        recipe,
        lines=tuple(replace(line, ingredient=new.name) if line.ingredient == old else line for line in recipe.lines),
        ingredients={**recipe.ingredients, new.name: new},
        scent=new.name if recipe.scent == old else recipe.scent,
        thickener=new.name if recipe.thickener == old else recipe.thickener,
    )
