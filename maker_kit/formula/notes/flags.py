"""All flags of a recipe in one go, and what of them is new after a change."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from maker_kit.findings import Finding, in_order
from maker_kit.formula.limits.fragrance import judge_scent
from maker_kit.formula.limits.judge import judge_limits
from maker_kit.formula.limits.limit import Limit, load_limits
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
    return in_order(
        (
            *judge_limits(recipe, known, market),
            *judge_scent(recipe, known, market),
            *judge_preservation(recipe, known),
            *clashes(recipe),
        )
    )


def judge_by(limits: Iterable[Limit] | None = None, market: str = "EU") -> Judge:
    """A judge that runs `flags`, whatever the count of containers."""
    known = load_limits() if limits is None else tuple(limits)

    def judge(recipe: Recipe, containers: int) -> tuple[Finding, ...]:
        return flags(recipe, known, market)

    return judge


def new_findings(before: Iterable[Finding], after: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings that were not there before, in their order: other in kind, level, topic, subject or source, whatever their figures.

    Swap the two to learn what is gone.
    """
    known = {_identity(f) for f in before}
    return tuple(f for f in after if _identity(f) not in known)


def _identity(finding: Finding) -> tuple[str, str, str, str, str]:
    return finding.kind, finding.level, finding.topic, finding.subject, finding.source
