"""All flags of a recipe in one go, and what of them is new after a change."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from maker_kit.findings import Finding, in_order
from maker_kit.formula.inside.composition import expand
from maker_kit.formula.limits.judge import judge_limits
from maker_kit.formula.limits.judging import judgements
from maker_kit.formula.limits.limit import Limit, load_limits
from maker_kit.formula.limits.scent import judge_scent
from maker_kit.formula.notes.clashes import clashes
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import Recipe

Judge = Callable[[Recipe, int], tuple[Finding, ...]]
"""Takes a recipe and a count of containers, and gives all its findings."""


def flags(recipe: Recipe, limits: Iterable[Limit] | None = None, market: str = "EU") -> tuple[Finding, ...]:
    """Everything the tables have to say of a recipe: limits, scents, preservation and known clashes, the gravest first.

    Parameters
    ----------
    recipe : Recipe
    limits : iterable of Limit, optional
        The published ones unless given.
    market : {'EU', 'US'}

    Returns
    -------
    tuple of Finding

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible, or a percentage, a pH or the market is none.
    """
    known = load_limits() if limits is None else tuple(limits)
    expansion = expand(recipe)
    judged = judgements(recipe, known, expansion=expansion)
    return in_order(
        (
            *judge_limits(recipe, known, market, expansion=expansion, judged=judged),
            *judge_scent(recipe, known, market, expansion=expansion),
            *judge_preservation(recipe, expansion=expansion, judged=judged),
            *clashes(recipe, expansion=expansion),
        )
    )


def judge_by(limits: Iterable[Limit] | None = None, market: str = "EU") -> Judge:
    """A judge that runs `flags`, whatever the count of containers."""
    known = load_limits() if limits is None else tuple(limits)

    def judge(recipe: Recipe, containers: int) -> tuple[Finding, ...]:
        return flags(recipe, known, market)

    return judge


def new_findings(before: Iterable[Finding], after: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings that were not there before, in their order: other in kind, code or what they are about, whatever
    their figures.

    Swap the two to learn what is gone.
    """
    known = {(f.kind, f.code, f.about) for f in before}
    return tuple(f for f in after if (f.kind, f.code, f.about) not in known)
