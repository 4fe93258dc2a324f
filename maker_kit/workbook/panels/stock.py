"""A short bottle: what is there, the ways on, and one of them kept."""

from __future__ import annotations

from maker_kit.formula.changes.shortage_options import MAKE_UP, SHORT, SWAP
from maker_kit.plan.stock import CostedOptions, fills, short_bottle
from maker_kit.workbook.asked import stock_of
from maker_kit.workbook.charts.stock import REACH
from maker_kit.workbook.keep import way_recipe
from maker_kit.workbook.panels.call import CallPanel, Shown
from maker_kit.workbook.panels.controls import counter, dropdown, field
from maker_kit.workbook.panels.keeping import keeping
from maker_kit.workbook.shown import stock as shown
from maker_kit.workbook.typed import AMOUNT
from maker_kit.workshop import Workshop

WAYS = [("make up with the balance", MAKE_UP), (SWAP, SWAP), (SHORT, SHORT)]


def short_panel(workshop: Workshop, recipe: str, kit: str = "", have: str = "", makes: int = 4) -> CallPanel:
    """What is there against what is wanted, the four ways on, and a way kept as a table or a recipe."""
    there = field("what is there", have, AMOUNT, rows=3)
    wanted = counter("containers wanted", "containers", makes, css="maker-wanted")
    which = dropdown("which way", WAYS, MAKE_UP)

    def ways() -> CostedOptions:
        return short_bottle(workshop, recipe, stock_of(workshop, kit, there.value), wanted.value)

    def call() -> Shown:
        reach = fills(workshop, recipe, stock_of(workshop, kit, there.value))
        words = shown.ways_sheet(ways()), shown.fills_sheet(reach), shown.more_sheet(reach)
        return {"picture": (reach, wanted.value), "words": words}

    below = keeping(
        "maker-short",
        workshop,
        ways,
        f"{recipe}-ways.csv",
        lambda: way_recipe(ways(), which.value),
        "a way on from a short bottle; untested",
        [which],
    )
    return CallPanel("maker-short", (there, wanted), call, REACH, below=[below])
