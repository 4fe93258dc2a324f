"""All that the tables have to say of a recipe in one go, and what of it is new after a change."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from maker_kit.findings import Finding, in_order
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.limits.judge import judge_limits
from maker_kit.formula.limits.judging import Judgement, judgements
from maker_kit.formula.limits.law import law_findings, law_limits, law_verdicts
from maker_kit.formula.limits.limit import Limit, load_limits
from maker_kit.formula.limits.older import certificates_behind, older_limits
from maker_kit.formula.limits.scent import judge_scent
from maker_kit.formula.notes.clashes import clashes
from maker_kit.formula.notes.hazards import hazards
from maker_kit.formula.notes.unknown import unknown_substances
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import Recipe

Judge = Callable[[Recipe, int], tuple[Finding, ...]]
"""Takes a recipe and a count of containers, and gives all its findings."""


@dataclass(frozen=True)
class JudgedRecipe:
    """A recipe and what the tables have to say of it.

    Attributes
    ----------
    recipe : Recipe
    expansion : Expansion
        Its substances.
    limits : tuple of Limit
        The law's for such a product, the trade's standard, and the maker's own.
    judgements : tuple of Judgement
        How it stands to each limit.
    findings : tuple of Finding
        The gravest first.
    """

    recipe: Recipe
    expansion: Expansion
    limits: tuple[Limit, ...]
    judgements: tuple[Judgement, ...]
    findings: tuple[Finding, ...]


def judge_recipe(
    recipe: Recipe, own: Iterable[Limit] = (), market: str = "EU", *, container_kind: str = ""
) -> JudgedRecipe:
    """Everything the tables have to say of a recipe: the law, limits, scents, preservation, clashes, hazards, and what
    no table knows.

    Parameters
    ----------
    recipe : Recipe
    own : iterable of Limit
        The maker's own limits, beside the published ones.
    market : {'EU', 'US'}
    container_kind : str
        ``spray``, ``jar`` and so on; read from the container's name unless given.

    Returns
    -------
    JudgedRecipe

    Raises
    ------
    RecipeError, QuantityError
        If a composition is impossible, or a percentage, a pH or the market is none.
    """
    own = tuple(own)
    expansion = expand(recipe)
    law = law_verdicts(recipe, expansion)
    limits = (*law_limits(law), *load_limits(), *own)
    judged = judgements(recipe, limits, expansion=expansion)
    found = (
        *judge_limits(recipe, limits, market, expansion=expansion, judged=judged),
        *older_limits(own, judged, market),
        *law_findings(recipe, law, market),
        *judge_scent(recipe, limits, market, expansion=expansion),
        *certificates_behind(recipe),
        *judge_preservation(recipe, expansion=expansion, judged=judged),
        *clashes(recipe, container_kind, expansion=expansion),
        *hazards(recipe, expansion, container_kind),
        *unknown_substances(recipe, expansion, own),
    )
    return JudgedRecipe(recipe, expansion, limits, judged, in_order(found))


def flags(recipe: Recipe, own: Iterable[Limit] = (), market: str = "EU") -> tuple[Finding, ...]:
    """The findings of `judge_recipe`."""
    return judge_recipe(recipe, own, market).findings


def judge_by(own: Iterable[Limit] = (), market: str = "EU") -> Judge:
    """A judge that runs `flags`, whatever the count of containers."""
    known = tuple(own)

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
