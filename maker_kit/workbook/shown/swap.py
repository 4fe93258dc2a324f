"""A swap as a maker reads it, and what clashes or must not be met."""

from __future__ import annotations

from maker_kit.findings import know
from maker_kit.formula.batch import counted
from maker_kit.formula.notes.avoid import check_avoided
from maker_kit.formula.notes.clashes import clashes
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.swap import SwapPlan
from maker_kit.workbook.shown.sheets import Sheet, Sheets, findings_sheet, frame_sheet, words_sheet
from maker_kit.workshop import Workshop

NO_CLASH = (
    "The small table of clashes names none in this recipe. It is a table of practice, not of all that can go wrong."
)


def swap_answer(planned: SwapPlan) -> str:
    """What the swap is, what comes with it, and what it costs, in one sentence."""
    result = planned.result
    kinds = [f.kind for f in result.new_findings]
    come = [f"{n} {kind if n == 1 else f'{kind}s'}" for kind in ("stop", "look") if (n := kinds.count(kind))]
    before, after = planned.cost_before.cash, planned.cost_after.cash
    paid = f"you pay {after} {planned.currency} instead of {before} for {counted(planned.containers)}"
    if any(f.code == "swap.kit_changes" for f in planned.findings):
        paid += ", for another number of kits"
    told = f"{' and '.join(come)} more" if come else "no stop and no look more"
    return f"{result.after.title}, {result.new} instead of {result.old}: {told}; {paid}; untested"


def swap_sheet(planned: SwapPlan) -> Sheets:
    """What a swap changes: levels, density, allergens to name, cost; and what to know of that cost."""
    rows = planned.changes_to_frame()
    return Sheets((frame_sheet(rows), *((findings_sheet(planned.findings),) if planned.findings else ())))


def swap_notes(planned: SwapPlan) -> Sheet:
    """The notes that come and go with a swap."""
    frame = planned.result.notes_to_frame()
    return frame_sheet(frame) if len(frame) else words_sheet("notes", "the same notes before and after")


def clashes_sheet(workshop: Workshop, recipe: Recipe) -> Sheet:
    """Known clashes in a recipe; says so where the table names none."""
    found = clashes(recipe, workshop.container(recipe.container).kind)
    return findings_sheet(found or (know("clash.none", recipe.title, NO_CLASH),))


def avoid_sheet(workshop: Workshop, recipe: Recipe) -> Sheet:
    """Whether something on the avoid-list is in a recipe, inside bought mixtures too."""
    return findings_sheet(check_avoided(recipe, workshop.avoid, workshop.ingredients).findings)
