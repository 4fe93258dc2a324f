"""Water without a working preservative is a stop. No market, no use and no blank field takes it away."""

from __future__ import annotations

from dataclasses import replace

from maker_kit.findings import Finding
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import Recipe

OWN_USE = "This holds for own use, for gifts and for sale, in every market."


def preservation_stop(recipe: Recipe) -> Finding | None:
    """The first finding that stops a product with water in it and no preservative that is known to work.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    Finding or None
        Kind ``stop``; None where nothing stops it, which is not the same as preserved: the other findings stand beside it.

    Raises
    ------
    QuantityError
        If a pH lies outside 0 to 14.
    RecipeError
        If a composition is impossible.
    """
    return next((f for f in with_the_stop(recipe) if f.kind == "stop"), None)


def with_the_stop(recipe: Recipe, limits: tuple[Limit, ...] | None = None) -> tuple[Finding, ...]:
    """All that `judge_preservation` finds, each once; a stop stands first, and the first says for whom it holds.

    Parameters
    ----------
    recipe : Recipe
    limits : tuple of Limit, optional
        As `judge_preservation` takes them.

    Raises
    ------
    QuantityError, RecipeError
        As `judge_preservation` does.
    """
    found = judge_preservation(recipe, limits)
    if not found or found[0].kind != "stop":
        return found
    return (replace(found[0], text=f"{found[0].text} {OWN_USE}"), *found[1:])
