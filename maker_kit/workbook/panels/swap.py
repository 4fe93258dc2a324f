"""A swap: what changes, and the changed recipe kept."""

from __future__ import annotations

from maker_kit.plan.swap import SwapPlan, plan_swap
from maker_kit.workbook.panels.call import CallPanel, result_panel
from maker_kit.workbook.panels.controls import counter, dropdown
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.shown.swap import swap_sheet
from maker_kit.workshop import Workshop


def swap_panel(workshop: Workshop, recipe: str, old: str, new: str, containers: int = 1) -> CallPanel:
    """One ingredient for another: what changes, and the changed recipe kept as a table or a recipe."""
    lines = dict.fromkeys(line.ingredient for line in workshop.recipe(recipe).lines)
    gone, comes = dropdown("instead of", lines, old), dropdown("take", workshop.ingredients, new)
    unit = "what the cost and the scale are looked at for"
    count = counter("containers", unit, containers, css="maker-swap-count")

    def planned() -> SwapPlan:
        return plan_swap(workshop, recipe, gone.value, comes.value, count.value)

    below = keeping(
        "maker-swap",
        workshop,
        planned,
        f"{recipe}-swap.csv",
        lambda: planned().result.after,
        "a swap; untested",
    )
    return result_panel("maker-swap", (gone, comes, count), planned, (swap_sheet,), below=[below])
