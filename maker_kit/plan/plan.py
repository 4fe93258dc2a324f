"""One plan: a recipe with its sliders set, in one workshop: what to weigh, what to look at before it is made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, TypeVar

from maker_kit.buying.invented import invented_findings
from maker_kit.buying.market import Market
from maker_kit.buying.needs import needs_per_batch
from maker_kit.errors import QuantityError, RecipeError
from maker_kit.findings import Finding
from maker_kit.formula.batch import LABEL, check_containers, exact_batch_mass
from maker_kit.formula.density import unweighed_density
from maker_kit.formula.limits.bars import LimitBar, limit_bars
from maker_kit.formula.notes.cautions import cautions
from maker_kit.formula.notes.flags import judge_recipe
from maker_kit.formula.notes.once import as_told, told_once
from maker_kit.formula.preservation.old_reading import without_old_reading
from maker_kit.formula.recipe import LEAST_USUAL_PERCENT, Recipe
from maker_kit.formula.scale import WeighOut, weigh_out
from maker_kit.formula.setting import load_on_base, with_fragrance_load, with_ingredient, with_thickener_level
from maker_kit.plan.notes import asked_findings, avoid_findings, not_counted_findings, ph_findings, supply_findings
from maker_kit.workshop import Workshop

T = TypeVar("T")

LINE_OF = {"fragrance_load": "scent", "scent": "scent", "thickener_level": "thickener"}
"""The line of a recipe that a setting of `set_recipe` sets, by the field of `Recipe` that names it."""


@dataclass(frozen=True)
class Plan:
    """A recipe with its sliders set.

    Attributes
    ----------
    workshop : Workshop
    recipe : Recipe
        As set: load, thickener level, scent and reading are in it.
    batch_size : int
        Containers in one batch.
    batches : int
        Batches bought for in one go: the count looked at.
    weigh_out : WeighOut
        Of one batch.
    findings : tuple of Finding
        The gravest first.
    cautions : tuple of Finding
        The usual cautions, for where the choice is made.
    bars : tuple of LimitBar
        One a limited substance, for the picture.
    needs : Mapping of str to Fraction
        What one batch takes of each bought item, in base units [0.1 g or pieces], exactly.
    """

    workshop: Workshop
    recipe: Recipe
    batch_size: int
    batches: int
    weigh_out: WeighOut
    findings: tuple[Finding, ...]
    cautions: tuple[Finding, ...]
    bars: tuple[LimitBar, ...]
    needs: Mapping[str, Fraction] = field(repr=False)

    @property
    def containers(self) -> int:
        """Containers in all: batch size × batches."""
        return self.batch_size * self.batches

    @property
    def market(self) -> Market:
        """What is for sale of the things this recipe takes; nothing else is bought."""
        return self.workshop.market.for_items(self.needs)

    @property
    def currency(self) -> str:
        """The workshop's currency: ``EUR``."""
        return self.workshop.settings.currency

    @property
    def batch_mass_g(self) -> float:
        """Mass of one batch [g]."""
        return self.weigh_out.batch_mass_g

    @property
    def load_on_whole(self) -> float | None:
        """Fragrance load of the whole [%]; None where the recipe has no scent."""
        return self.recipe.percent_of(self.recipe.scent) if self.recipe.scent else None

    @property
    def load_on_base(self) -> float | None:
        """Fragrance load on the base [%]; None where the recipe has no scent."""
        return load_on_base(self.load_on_whole) if self.load_on_whole is not None else None

    @property
    def thickener_level(self) -> float | None:
        """Thickener level of the whole [%]; None where the recipe has no thickener."""
        return self.recipe.percent_of(self.recipe.thickener) if self.recipe.thickener else None

    @property
    def unsold(self) -> tuple[str, ...]:
        """What it takes and nobody on file sells: then what it costs is unknown."""
        sells = self.workshop.market.holding
        return tuple(item for item, amount in self.needs.items() if amount and not sells(item))

    @property
    def notes(self) -> tuple[Finding, ...]:
        """The findings as they are shown: `maker_kit.formula.notes.once.as_told`."""
        return as_told(self.findings)

    def of_kind(self, kind: str) -> tuple[Finding, ...]:
        """The findings of one kind, as they are shown: ``stop``, ``look`` or ``know``."""
        return tuple(finding for finding in self.notes if finding.kind == kind)


@dataclass(frozen=True)
class Unpriced:
    """What stands in place of any figure of cost where there is none.

    Attributes
    ----------
    plan : Plan
    """

    plan: Plan

    @property
    def why(self) -> str:
        """Why the cost is unknown, in a sentence."""
        return f"The cost is unknown, because nobody on file sells {', '.join(self.plan.unsold)}."

    @property
    def curve(self) -> None:
        """There is none."""
        return None


def priced(work: Callable[..., T], first: Any, *rest: Any, **more: Any) -> T | Unpriced:
    """What some work on a plan gives, such as `maker_kit.plan.shopping.purchases.purchase`, or why there is none.

    Parameters
    ----------
    work : callable
    first : Plan, or a result that `priced` gave
        Its first argument.
    rest, more
        Its others.

    Returns
    -------
    object
        What the work gives; `Unpriced` where the plan takes something that nobody on file sells.
    """
    plan = getattr(first, "plan", first)
    return Unpriced(plan) if plan.unsold else work(first, *rest, **more)


def set_recipe(
    workshop: Workshop,
    name: str | Recipe,
    *,
    fragrance_load: float | None = None,
    thickener_level: float | None = None,
    scent: str = "",
    ph_read: float | None = None,
) -> Recipe:
    """A recipe of the workshop with its sliders set; what is left out stays as the recipe has it.

    Parameters
    ----------
    workshop : Workshop
    name : str or Recipe
        Name or title of the recipe, or the recipe itself.
    fragrance_load : float, optional
        Of the whole [%].
    thickener_level : float, optional
        Of the whole [%].
    scent : str
        Another scent at the same load.
    ph_read : float, optional
        A new reading of the pH, 0 to 14.

    Returns
    -------
    Recipe
        Without the pH that the bench log holds of a batch, where what is in it or how much of it is set otherwise.

    Raises
    ------
    UnknownNameError
        If the recipe or the scent is unknown.
    RecipeError
        If the recipe has no line to set, or its balance cannot hold the level.
    QuantityError
        If a level is suspiciously small (above 0 and below 0.01 %), or the reading lies outside 0 to 14.
    """
    recipe = listed = workshop.recipe(name)
    if scent:
        if not recipe.scent:
            raise RecipeError(f"{recipe.title} has no scent line, so its scent cannot be changed")
        recipe = with_ingredient(recipe, recipe.scent, workshop.scent(scent))
    if fragrance_load is not None:
        recipe = with_fragrance_load(recipe, asked_level(fragrance_load, "a fragrance load"))
    if thickener_level is not None:
        recipe = with_thickener_level(recipe, asked_level(thickener_level, "a thickener level"))
    if ph_read is not None:
        if not 0 <= ph_read <= 14:
            raise QuantityError(f"a pH reading of {ph_read:g}: a pH lies between 0 and 14; read it again")
        return replace(recipe, ph_read=ph_read, ph_noted="", ph_at_c=None)
    return without_old_reading(listed, recipe) if listed.ph_noted else recipe


def make_plan(
    workshop: Workshop,
    name: str | Recipe,
    *,
    batch_size: int = 1,
    batches: int = 1,
    **levels: Any,
) -> Plan:
    """A recipe with its sliders set, weighed out and judged: limits, scents, preservation, scale, supplies, known
    clashes, the avoid-list.

    Parameters
    ----------
    workshop, name
        As in `set_recipe`.
    batch_size : int
        Containers in one batch, 1 or more.
    batches : int
        Batches bought for in one go, 1 or more.
    levels
        What else `set_recipe` takes: ``fragrance_load``, ``thickener_level``, ``scent``, ``ph_read``.

    Returns
    -------
    Plan

    Raises
    ------
    QuantityError
        If a count is not whole, or out of range; and as `set_recipe` does.
    UnknownNameError, RecipeError
        As `set_recipe` does.
    """
    size, count = check_containers(batch_size), check_containers(batches)
    check_containers(size * count)
    recipe = set_recipe(workshop, name, **levels)
    settings = workshop.settings
    weighed = weigh_out(recipe, exact_batch_mass(recipe, size), settings.scale)
    kind = workshop.container(recipe.container).kind
    judged = judge_recipe(recipe, workshop.limits, settings.market, container_kind=kind)
    needs = needs_per_batch(recipe, size, recipe.container, LABEL)
    findings = (
        *judged.findings,
        *weighed.findings,
        *unweighed_density(recipe),
        *supply_findings(workshop, recipe, size * count),
        *avoid_findings(workshop, recipe, expansion=judged.expansion),
        *invented_findings(workshop.market.for_items(needs), _shelf(workshop, recipe)),
        *asked_findings(workshop, recipe, needs),
        *ph_findings(workshop, recipe),
        *workshop.beside,
        *not_counted_findings(workshop),
    )
    return Plan(
        workshop,
        recipe,
        size,
        count,
        weighed,
        told_once(replace(f, text=workshop.told(f.text), next_step=workshop.told(f.next_step)) for f in findings),
        cautions(recipe, expansion=judged.expansion),
        limit_bars(recipe, judged.limits, judged=judged.judgements),
        needs,
    )


def _shelf(workshop: Workshop, recipe: Recipe) -> list[tuple[str, bool]]:
    """What could be bought in place of a recipe, and whether its price is invented."""
    product = workshop.shop_products.get(recipe.shop_product)
    return [(f"{product.name} {size.name} in the shop", size.invented) for size in product.sizes] if product else []


def asked_level(percent: float, what: str) -> float:
    """The level itself [%]; one above 0 and below `LEAST_USUAL_PERCENT` is asked about, as it is more often a slip than
    meant. Raises QuantityError then.
    """
    if 0 < percent < LEAST_USUAL_PERCENT:
        raise QuantityError(
            f"{what} of {percent:g} % is very little: did you mean {percent * 100:g} %? Levels are percent of the "
            f"whole; below {float(LEAST_USUAL_PERCENT)} % none is taken"
        )
    return percent
