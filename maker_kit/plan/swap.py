"""A swap in a workshop: its own table of swaps gives the ratio, and the cost before and after is worked out."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import pandas as pd

from maker_kit.findings import Finding, look
from maker_kit.formula.batch import check_containers, needs_g
from maker_kit.formula.changes.swap import StandIn, SwapResult, swap
from maker_kit.formula.kinds import is_scent
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.plan.needs_cost import NeedsCost, cost_of_needs, judge_in, pieces_for
from maker_kit.workshop import Workshop


@dataclass(frozen=True)
class SwapPlan:
    """A swap with what it changes and what it costs.

    Attributes
    ----------
    result : SwapResult
    containers : int
        Containers that the cost is for.
    cost_before, cost_after : NeedsCost
    listed : bool
        Whether the workshop's table of swaps names it; otherwise it was taken gram for gram.
    currency : str
    findings : tuple of Finding
        What to know of the cost: where a kit is bought before or after it alone, the two costs differ by that too.
    """

    result: SwapResult
    containers: int
    cost_before: NeedsCost
    cost_after: NeedsCost
    listed: bool
    currency: str
    findings: tuple[Finding, ...] = ()

    def to_frame(self) -> pd.DataFrame:
        """What changes as a table: what `SwapResult.to_frame` shows, with both costs."""
        return self._with_cost(self.result.to_frame())

    def changes_to_frame(self) -> pd.DataFrame:
        """Of `to_frame` what is no finding."""
        return self._with_cost(self.result.changes_to_frame())

    def _with_cost(self, frame: pd.DataFrame) -> pd.DataFrame:
        before, after = self.cost_before, self.cost_after
        rows = [
            (f"what you pay for {self.containers} [{self.currency}]", before.cash, after.cash, after.why_not),
            (f"what that uses up [{self.currency}]", before.used, after.used, after.why_not),
        ]
        return pd.concat([frame, pd.DataFrame(rows, columns=frame.columns)], ignore_index=True)


def likely_swap(workshop: Workshop, recipe: Recipe) -> tuple[str, str]:
    """A swap to look at first: the first of the workshop's table that the recipe can make; else another scent, else the
    last line for what is on file and not in it.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe

    Returns
    -------
    tuple of (str, str)
        What is taken out, and what goes in.
    """
    held = dict.fromkeys(line.ingredient for line in recipe.lines)
    listed = [(s.ingredient, s.instead) for s in workshop.swaps if s.ingredient in held]
    if listed:
        return listed[0]
    others = [name for name in workshop.ingredients if name not in held]
    old = next(iter(recipe.scents), [*held][-1])
    scents = [name for name in others if old in recipe.scents and is_scent(workshop.ingredients[name])]
    return old, next(iter([*scents, *others, *(name for name in held if name != old)]), old)


def stand_in(workshop: Workshop, old: str, new: str, ratio: float | None = None) -> tuple[StandIn, bool]:
    """What is taken instead of an ingredient, and whether the workshop's table of swaps names it.

    Parameters
    ----------
    workshop : Workshop
    old, new : str
        Ingredients by name.
    ratio : float, optional
        Grams of the new for one gram of the old; from the table of swaps, else 1, unless given.

    Raises
    ------
    UnknownNameError
        If the workshop does not hold `new`.
    """
    thing = workshop.ingredient(new)
    row = next((s for s in workshop.swaps if (s.ingredient, s.instead) == (old, thing.name)), None)
    usual, what_changes = (row.ratio, row.what_changes) if row else (1.0, "")
    return StandIn(thing, usual if ratio is None else ratio, what_changes, dict(workshop.ingredients)), row is not None


def plan_swap(
    workshop: Workshop, recipe: str | Recipe, old: str, new: str, containers: int = 1, ratio: float | None = None
) -> SwapPlan:
    """Take another ingredient or scent in a workshop's recipe, and see all that changes.

    Parameters
    ----------
    workshop : Workshop
    recipe : str or Recipe
    old, new : str
        Ingredients by name.
    containers : int
        Containers that flags and cost are for.
    ratio : float, optional
        Grams of the new for one gram of the old; from the table of swaps, else 1, unless given.

    Returns
    -------
    SwapPlan

    Raises
    ------
    UnknownNameError
        If the recipe or an ingredient is unknown, or the recipe does not hold `old`.
    QuantityError, RecipeError
        As `swap` does.
    """
    made = workshop.recipe(recipe)
    count = check_containers(containers)
    taken_out = {name_key(line.ingredient): line.ingredient for line in made.lines}.get(name_key(old), old)
    made.percent_of(taken_out)
    other, listed = stand_in(workshop, taken_out, new, ratio)
    result = swap(made, taken_out, other, judge_in(workshop), count)
    costs = [cost_of_needs(workshop, needs_g(r, count), pieces_for(r, count)) for r in (result.before, result.after)]
    return SwapPlan(result, count, *costs, listed, workshop.settings.currency, _of_kits(workshop, *costs))


def _of_kits(workshop: Workshop, before: NeedsCost, after: NeedsCost) -> tuple[Finding, ...]:
    """That a kit is on the two shopping lists in different numbers, or on one of them alone."""
    names = {kit.name for kit in workshop.kits}
    bought = [
        Counter({line.pack: line.count for line in cost.basket.lines if line.pack in names} if cost.basket else {})
        for cost in (before, after)
    ]
    kits = sorted(kit for kit in {*bought[0], *bought[1]} if bought[0][kit] != bought[1][kit])
    if not kits or before.cash_micros is None or after.cash_micros is None:
        return ()
    which = [f"{kit} is bought {bought[0][kit]} × before the swap and {bought[1][kit]} × after it" for kit in kits]
    text = f"{'; '.join(which)}: the difference in cost is between buying a kit and buying packs, not the swap's own."
    return (look("swap.kit_changes", kits, text, next_step="compare what it uses up", source="arithmetic"),)
