"""Recipes and counts for one order: what it saves, each recipe's fair share, and the shopping list for all of them."""

from __future__ import annotations

from maker_kit.plan.combined_order import CombinedOrder
from maker_kit.plan.plan import Plan
from maker_kit.workbook.ordering import order_for, read_counts
from maker_kit.workbook.panels.call import CallPanel, result_panel
from maker_kit.workbook.panels.controls import counter
from maker_kit.workbook.shown.combined_order import order_sheets
from maker_kit.workshop import Workshop

MOST_CONTAINERS = 200


def combined_order_panel(workshop: Workshop, text: str = "", beside: Plan | None = None) -> CallPanel:
    """A slider a recipe for how many containers of it are wanted, and the order for all of them.

    Parameters
    ----------
    workshop : Workshop
    text : str
        What is chosen first, as `maker_kit.workbook.ordering.read_counts` takes it.
    beside : Plan, optional
        What is looked at: where the text is empty, its containers and as many of the next recipe are chosen first.
    """
    asked, hint = read_counts(workshop, text), "containers; 0 leaves it out"
    if not asked and beside is not None:
        names = [*workshop.recipes]
        at = names.index(beside.recipe.name)
        asked = dict.fromkeys((names[(at + 1) % len(names)], names[at]), min(beside.containers, MOST_CONTAINERS))
    sliders = {
        name: counter(
            recipe.title,
            hint,
            asked.get(name, 0),
            MOST_CONTAINERS,
            0,
            css=f"maker-order-{name}",
            widths=("21em", "28em", "22em"),
        )
        for name, recipe in workshop.recipes.items()
    }
    for slider in sliders.values():
        slider.slider.continuous_update = False  # an order for six recipes takes a second

    def order() -> CombinedOrder | None:
        return order_for(workshop, {name: slider.value for name, slider in sliders.items()})

    sheets = (lambda found: order_sheets(workshop, found),)
    return result_panel("maker-order", tuple(sliders.values()), order, sheets)
