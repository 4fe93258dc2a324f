"""The version of a recipe that a batch was made by: which sheet it was made after, and whether what was read of the
batch holds for the recipe in hand.
"""

from __future__ import annotations

import hashlib
import json
import re

from maker_kit.formula.recipe import Recipe
from maker_kit.formula.step import Step
from maker_kit.numbers import with_point

MADE, WHOLE = 6, 4
"""Letters that tell what is made and how, and letters that tell everything."""
OLD = 8
"""Letters of the versions in logs and on sheets that were made out before the two were told apart."""
_FIGURES = re.compile(r"\d+(?:[.,]\d+)?")


def recipe_version(recipe: Recipe) -> str:
    """Ten letters that change with whatever a bench sheet is made from: lines, steps, fill, density, loss, pH.

    The first six change only with what can change the product and its pH: lines, amounts, what a thing is made from,
    the wanted pH, the maker's own version, and of the steps their order, phases, temperatures and minutes, and the
    figures in their words. Other words for the same step change the last four alone.
    """
    return _digest(_made(recipe))[:MADE] + _digest(_whole(recipe))[:WHOLE]


def is_version(told: str, recipe: Recipe) -> bool:
    """Whether a version, of whatever age, is that of the recipe, words and all."""
    return told.strip().casefold() in (recipe_version(recipe), _digest(_whole(recipe))[:OLD])


def is_made_alike(told: str, recipe: Recipe) -> bool:
    """Whether what was made by a version is what the recipe makes: the words of its steps may be other ones."""
    return is_version(told, recipe) or (len(told) == MADE + WHOLE and told[:MADE] == recipe_version(recipe)[:MADE])


def _made(recipe: Recipe) -> dict[str, object]:
    return {
        "lines": _lines(recipe),
        "steps": [_way(step) for step in recipe.steps],
        "made": _bought_in(recipe),
        "rest": [recipe.ph_low, recipe.ph_high, recipe.version],
    }


def _way(step: Step) -> list[object]:
    figures = [float(with_point(f)) for f in _FIGURES.findall(step.text)]
    return [step.number, step.phase, step.from_c, step.to_c, step.minutes, figures]


def _whole(recipe: Recipe) -> dict[str, object]:
    return {
        "lines": _lines(recipe),
        "steps": [repr(s) for s in recipe.steps],
        "made": _bought_in(recipe),
        "fill": [recipe.container, recipe.fill_ml, recipe.fill_g, recipe.density_g_per_ml],
        "loss": [recipe.film_g, recipe.loss_percent],
        "rest": [recipe.ph_low, recipe.ph_high, recipe.version],
    }


def _lines(recipe: Recipe) -> list[tuple[object, ...]]:
    return [(x.phase, x.ingredient, repr(x.percent), x.balance) for x in recipe.lines]


def _bought_in(recipe: Recipe) -> list[tuple[str, object]]:
    return sorted((n, t.made_from) for n, t in recipe.ingredients.items() if t.made_from)


def _digest(told: dict[str, object]) -> str:
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()
