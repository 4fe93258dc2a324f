"""What a plan adds to its limits: the known clashes and the workshop's avoid-list, each thing said once."""

from __future__ import annotations

from collections.abc import Iterable

from maker_kit.findings import Finding
from maker_kit.formula.notes.avoid import check_avoided
from maker_kit.formula.notes.clashes import clashes
from maker_kit.formula.recipe import Recipe
from maker_kit.workshop import Workshop

ACID_PRESERVATIVE, FOAMER = "benzoate or sorbate above pH 5.5", "thick product in a foamer"
"""Clashes, by their subject in ``clashes.csv``, that another room says more exactly where it says them."""
ACIDS = ("benzo", "sorb")
"""How the names of the acids of the first of them begin, as the findings of preservation write them."""


def clash_findings(workshop: Workshop, recipe: Recipe, said: Iterable[Finding] = ()) -> tuple[Finding, ...]:
    """The known clashes of a recipe in its container, without what other findings say already.

    A benzoate or sorbate at a pH that leaves it asleep, or at a pH nobody read, is left to the finding of preservation that gives its awake share; a thick product in a foamer to that of the container.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe
    said : iterable of Finding
        What is said already.

    Returns
    -------
    tuple of Finding

    Raises
    ------
    RecipeError, QuantityError
        As `maker_kit.formula.notes.clashes.clashes` does.
    UnknownNameError
        If the workshop has no such container.
    """
    before = tuple(said)
    told = set()
    if any(f.topic == "preservation" and f.kind != "know" and f.subject.casefold().startswith(ACIDS) for f in before):
        told.add(ACID_PRESERVATIVE)
    if any(f.topic == "container" and "foamer" in f.text.casefold() for f in before):
        told.add(FOAMER)
    return tuple(
        f
        for f in clashes(recipe, workshop.container(recipe.container).kind)
        if f.subject not in told and f not in before
    )


def avoid_findings(workshop: Workshop, recipe: Recipe) -> tuple[Finding, ...]:
    """What the workshop's avoid-list has to say of a recipe: found, not known, or nothing by that name; none where the list is empty.

    Raises
    ------
    QuantityError, RecipeError
        As `maker_kit.formula.notes.avoid.check_avoided` does.
    """
    return tuple(dict.fromkeys(check_avoided(recipe, workshop.avoid, workshop.ingredients).findings))
