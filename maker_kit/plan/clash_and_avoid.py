"""What a plan adds to its limits: the known clashes and the workshop's avoid-list, each thing said once."""

from __future__ import annotations

from collections.abc import Iterable

from maker_kit.findings import Finding
from maker_kit.formula.inside.composition import Expansion
from maker_kit.formula.notes.avoid import check_avoided
from maker_kit.formula.notes.clashes import clashes
from maker_kit.formula.recipe import Recipe
from maker_kit.workshop import Workshop

ACIDS_BY_PH = frozenset({"clash.acid_preservative_and_ph", "clash.acid_preservative_and_ph_not_read"})
"""Codes of clashes that the notes on preservation say more exactly, acid by acid."""
FOAMERS = frozenset({"container.thick_in_foamer", "clash.thick_in_a_foamer"})
"""Codes that say the same of a thick product in a foamer."""


def clash_findings(
    workshop: Workshop, recipe: Recipe, said: Iterable[Finding] = (), *, expansion: Expansion | None = None
) -> tuple[Finding, ...]:
    """The known clashes of a recipe in its container, without what other findings say already.

    A benzoate or sorbate at a pH at which it hardly works, or at a pH nobody read, is left to the finding of preservation that gives its undissociated share; a thick product in a foamer to that of the container.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe
    said : iterable of Finding
        What is said already.
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

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
    acids = {name for f in before if f.topic == "preservation" and f.kind != "know" for name in f.about}
    in_foamer = any(f.code in FOAMERS for f in before)
    return tuple(
        f
        for f in clashes(recipe, workshop.container(recipe.container).kind, expansion=expansion)
        if not (f.code in ACIDS_BY_PH and acids & set(f.about)) and not (f.code in FOAMERS and in_foamer)
    )


def avoid_findings(workshop: Workshop, recipe: Recipe, *, expansion: Expansion | None = None) -> tuple[Finding, ...]:
    """What the workshop's avoid-list has to say of a recipe: found, not known, or nothing by that name; none where the list is empty.

    Raises
    ------
    QuantityError, RecipeError
        As `maker_kit.formula.notes.avoid.check_avoided` does.
    """
    checked = check_avoided(recipe, workshop.avoid, workshop.ingredients, expansion=expansion)
    return tuple(dict.fromkeys(checked.findings))
