"""Which recipe of a workshop to look at first, where none is named."""

from __future__ import annotations

from collections.abc import Callable

from maker_kit.errors import NoticeError
from maker_kit.formula.emulsion.emulsion import oil_phase
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.plan.thickness import readings_of
from maker_kit.workshop import Workshop
from maker_kit.workshop.workshop import NO_RECIPE


def first_recipe(workshop: Workshop, name: str, *fits: Callable[[Workshop, Recipe], bool]) -> Recipe:
    """The recipe of that name; without a name the first that fits best, else the workshop's first.

    Parameters
    ----------
    workshop : Workshop
    name : str
    *fits : callable
        Each says whether a recipe of the workshop fits; the best first.

    Raises
    ------
    UnknownNameError
        If there is no recipe of that name.
    NoticeError
        If the workshop has none at all.
    """
    if name.strip():
        return workshop.recipe(name)
    made = [*workshop.recipes.values()]
    if not made:
        raise NoticeError(NO_RECIPE)
    return next((recipe for fit in fits for recipe in made if fit(workshop, recipe)), made[0])


def has_readings(workshop: Workshop, recipe: Recipe) -> bool:
    """Whether the thickness of a recipe was read."""
    return bool(readings_of(workshop, recipe))


def has_kit(workshop: Workshop, recipe: Recipe) -> bool:
    """Whether a kit on file is meant for a recipe."""
    return any(kit.recipe == recipe.name for kit in workshop.kits)


def has_water(workshop: Workshop, recipe: Recipe) -> bool:
    """Whether a recipe holds water."""
    return recipe.holds_water


def has_oil_phase(workshop: Workshop, recipe: Recipe) -> bool:
    """Whether a recipe holds water and oils, so that a blend of emulsifiers can be asked for."""
    return recipe.holds_water and bool(oil_phase(recipe))


def has_emulsifier(workshop: Workshop, recipe: Recipe) -> bool:
    """Whether a recipe holds water, oils and an emulsifier by its function."""
    functions = (recipe.ingredients[line.ingredient].function for line in recipe.lines)
    return has_oil_phase(workshop, recipe) and any("emulsifier" in name_key(f).split() for f in functions)
