"""Keeping time against use: how many containers are used up in time, and what that says of a count."""

from __future__ import annotations

from fractions import Fraction

from maker_kit.findings import Finding, know, look
from maker_kit.formula.batch import counted
from maker_kit.formula.recipe import Recipe
from maker_kit.units import exact_number

SOURCE = "keeping time and use from the workshop's own tables; no shelf life was tested here"


def used_in_time(recipe: Recipe) -> Fraction | None:
    """Most containers that are used up within the keeping time, counted from today, exactly.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    Fraction or None
        ``keeping time [months] · use [containers a month]``; None where either is unknown.
    """
    if recipe.keeps_months is None or not recipe.use_per_month:
        return None
    return exact_number(recipe.keeps_months, "the keeping time") * exact_number(
        recipe.use_per_month, "the use per month"
    )


def keeping_finding(recipe: Recipe, containers: int) -> Finding:
    """Whether so many containers are used up within the keeping time: they are, some outlive it, or it is unknown."""
    most = used_in_time(recipe)
    if most is None:
        return look(
            "keeping.unknown",
            recipe.title,
            "How many are used a month, or how long they keep, is not on file: "
            "whether so many are used up in time is unknown.",
            level="unknown",
            next_step="write use per month and keeping time into recipes.csv",
        )
    words = (
        f"{counted(containers)} at {recipe.use_per_month:g} a month last {containers / recipe.use_per_month:.2f} "
        f"months; they keep {recipe.keeps_months:g}"
    )
    if containers > most:
        return look(
            "keeping.over",
            recipe.title,
            f"{words}: some outlive their keeping time.",
            level="over",
            next_step=f"make at most {int(most)}",
            source=SOURCE,
        )
    return know("keeping.fine", recipe.title, f"{words}.", level="fine", source=SOURCE)
