"""A swap as a maker reads it, and what clashes or must not be met."""

from __future__ import annotations

from maker_kit.findings import know
from maker_kit.formula.notes.avoid import check_avoided
from maker_kit.formula.notes.clashes import clashes
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.swap import SwapPlan
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet, frame_sheet
from maker_kit.workshop import Workshop

NO_CLASH = (
    "The small table of clashes names none in this recipe. It is a table of practice, not of all that can go wrong."
)


def swap_sheet(planned: SwapPlan) -> Sheet:
    """What a swap changes: levels, density, allergens, notes before and after, cost."""
    return frame_sheet(planned.to_frame())


def clashes_sheet(workshop: Workshop, recipe: Recipe) -> Sheet:
    """Known clashes in a recipe; says so where the table names none."""
    found = clashes(recipe, workshop.container(recipe.container).kind)
    return findings_sheet(found or (know("clash.none", recipe.title, NO_CLASH),))


def avoid_sheet(workshop: Workshop, recipe: Recipe) -> Sheet:
    """Whether something on the avoid-list is in a recipe, inside bought mixtures too."""
    return findings_sheet(check_avoided(recipe, workshop.avoid, workshop.ingredients).findings)
