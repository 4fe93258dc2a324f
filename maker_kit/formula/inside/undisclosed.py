"""What nobody has told of a recipe: ingredients that hold substances which no name on file names, such as an essential
oil whose parts the supplier keeps.
"""

from __future__ import annotations

from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.kinds import SCENT_NAMES, holds_many, is_plant_water, is_scent
from maker_kit.formula.recipe import SUM_TOLERANCE_PERCENT, Ingredient, Recipe
from maker_kit.names import name_key
from maker_kit.numbers import exact_number


def undisclosed_in(
    recipe: Recipe, expansion: Expansion | None = None, *, scent_allergen: bool = False
) -> tuple[str, ...]:
    """Ingredients of a recipe that hold more than anybody has told.

    Such are: what has no INCI name, nothing inside and nothing it is made from; what is told in figures alone that do
    not make 100 %; a scent with nothing told inside (the test of `maker_kit.formula.notes.allergens.allergens`); and
    whatever holds a substance of `holds_many`, unless the others told beside it make 100 % at their least. Bench
    mixtures are opened.

    Parameters
    ----------
    recipe : Recipe
    expansion : Expansion, optional
        The recipe's substances, where they are known already.
    scent_allergen : bool
        Whether a scent allergen is looked for: then distilled plant waters count too.

    Returns
    -------
    tuple of str

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible.
    """
    expansion = expansion or expand(recipe)
    closed = []
    for name, percent in expansion.percent.items():
        if not percent:
            continue
        parts = expansion.inside[name].values()
        many = [
            p
            for p in parts
            if holds_many(p.substance)
            or name_key(p.substance) in SCENT_NAMES
            or (scent_allergen and is_plant_water(p.substance))
        ]
        whole = sum(p.low for p in parts if p not in many) >= 1
        if (many and not whole) or any(_closed(thing, own=thing.name == recipe.scent) for thing in inner(recipe, name)):
            closed.append(name)
    return tuple(closed)


def inner(recipe: Recipe, name: str, path: tuple[str, ...] = ()) -> tuple[Ingredient, ...]:
    """An ingredient of a recipe, and all that it is made from at the bench."""
    thing = recipe.ingredients[name]
    parts = [part for part, _ in thing.made_from if part in recipe.ingredients and part not in (*path, name)]
    return (thing, *(i for part in parts for i in inner(recipe, part, (*path, name))))


def _closed(thing: Ingredient, *, own: bool) -> bool:
    if thing.made_from:
        return False
    if thing.inside:
        highs = [s.high_percent if s.high_percent is not None else s.low_percent for s in thing.inside]
        return (
            not thing.inci
            and None not in highs
            and sum(exact_number(h) for h in highs) < 100 - exact_number(SUM_TOLERANCE_PERCENT)
        )
    return not thing.inci or own or is_scent(thing)
