"""A short bottle and a swap: what is there, what changes, and the changed recipe kept."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from maker_kit.formula.changes.shortage_options import MAKE_UP, SHORT, SWAP
from maker_kit.plan.stock import CostedOptions, short_bottle
from maker_kit.plan.swap import SwapPlan, plan_swap
from maker_kit.workbook import keep
from maker_kit.workbook.charts import stock_and_ph as charts_life
from maker_kit.workbook.charts.picture import Picture
from maker_kit.workbook.panels.call import FIELD, CallPanel, dropdown
from maker_kit.workbook.panels.controls import Level
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.shown import life as show_life
from maker_kit.workshop import Workshop


def short_panel(workshop: Workshop, recipe: str, kit: str = "", have: str = "", makes: int = 4) -> CallPanel:
    """What is there against what is wanted, the four ways on, and a way kept as a table or a recipe."""
    there = w.Textarea(
        value=have,
        description="what is there",
        rows=3,
        continuous_update=False,
        placeholder="Propanediol = 32 g",
        **FIELD,
    )
    wanted = Level("containers wanted", "containers", makes, 1, max(48, makes), 1, whole=True)
    wanted.row.add_class("maker-wanted")

    def stock() -> dict[str, float | str]:
        return show_life.stock_of(workshop, kit, there.value)

    def ways() -> CostedOptions:
        return short_bottle(workshop, recipe, stock(), int(wanted.value))

    def call() -> tuple[str, Any]:
        reach = show_life.in_hand(workshop, recipe, stock())
        return show_life.ways_sheet(ways()).html() + show_life.fills_sheet(reach).html() + show_life.more_sheet(
            reach
        ).html(), (reach, int(wanted.value))

    which = w.Dropdown(
        options=[("make up with the balance", MAKE_UP), (SWAP, SWAP), (SHORT, SHORT)], description="which way", **FIELD
    )
    below = keeping(
        "maker-short",
        lambda file: keep.keep_table(workshop, ways(), file),
        f"{recipe}-ways.csv",
        lambda *said: keep.keep_recipe(workshop, keep.way_recipe(ways(), which.value), *said),
        "a way on from a short bottle; untested",
        [which],
    )
    return CallPanel(
        "maker-short",
        (there, wanted),
        call,
        Picture(charts_life.draw_reach, 9.4, charts_life.reach_height),
        below=[below],
    )


def swap_panel(workshop: Workshop, recipe: str, old: str, new: str, containers: int = 1) -> CallPanel:
    """One ingredient for another: what changes, and the changed recipe kept as a table or a recipe."""
    made = workshop.recipe(recipe)
    gone = dropdown("instead of", list(dict.fromkeys(line.ingredient for line in made.lines)), old)
    comes = dropdown("take", list(workshop.ingredients), new)

    count = Level(
        "containers", "what the cost and the scale are looked at for", containers, 1, max(48, containers), 1, whole=True
    )
    count.row.add_class("maker-swap-count")

    def planned() -> SwapPlan:
        return plan_swap(workshop, recipe, gone.value, comes.value, int(count.value))

    below = keeping(
        "maker-swap",
        lambda file: keep.keep_table(workshop, planned(), file),
        f"{recipe}-swap.csv",
        lambda *said: keep.keep_recipe(workshop, planned().result.after, *said),
        "a swap; untested",
    )
    return CallPanel(
        "maker-swap", (gone, comes, count), lambda: (show_life.swap_sheet(planned()).html(), None), below=[below]
    )
