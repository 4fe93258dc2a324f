"""A pH was read of one recipe: whatever changes its percentages takes the reading away, and says so. A larger or
smaller batch keeps it.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from maker_kit.findings import PRACTICE, Finding, look
from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import exact_number

SOURCE = f"a reading holds for the recipe it was read of; {PRACTICE}"
NEXT = "Make a small batch of it, read its pH and write it down; nothing computes it."


def is_changed(before: Recipe, after: Recipe) -> bool:
    """Whether two recipes differ in what is in them or in how much of it [% of the whole], whatever the order and the
    phases of their lines.
    """
    return _content(before) != _content(after)


def without_old_reading(before: Recipe, after: Recipe) -> Recipe:
    """The changed recipe without the pH that was read of the one before; the same recipe keeps it.

    Parameters
    ----------
    before, after : Recipe

    Returns
    -------
    Recipe
        `after`, with no reading where any percentage or ingredient is another. Which of them move the pH is not asked:
        acid, alkali, buffer and the water that dilutes them all do.
    """
    return replace(after, ph_read=None) if after.ph_read is not None and is_changed(before, after) else after


def old_reading(before: Recipe, after: Recipe) -> tuple[Finding, ...]:
    """That the pH on file was read of the recipe before the change; nothing where there is no such reading, or no
    change.

    Parameters
    ----------
    before, after : Recipe
        `after` as `without_old_reading` gives it.

    Returns
    -------
    tuple of Finding
        Kind ``look``, level ``unknown``.
    """
    if before.ph_read is None or after.ph_read is not None or not is_changed(before, after):
        return ()
    text = (
        f"The pH on file, {before.ph_read:g}, was read before the change; of the recipe as it is now there is no "
        "reading, so what it said of the preservative holds no longer."
    )
    named = "pH of the changed recipe"
    return (look("preservation.reading_is_old", named, text, level="unknown", next_step=NEXT, source=SOURCE),)


def _content(recipe: Recipe) -> dict[str, tuple[Fraction, Ingredient | None]]:
    found: dict[str, Fraction] = {}
    for line in recipe.lines:
        found[line.ingredient] = found.get(line.ingredient, Fraction(0)) + exact_number(line.percent)
    return {name: (percent, recipe.ingredients.get(name)) for name, percent in found.items() if percent}
