"""The thickener's level against the maker's own ladder."""

from __future__ import annotations

from typing import Any

from maker_kit.formula.recipe import with_thickener_level
from maker_kit.workbook import charts_life, show_life
from maker_kit.workbook.panels.call import CallPanel
from maker_kit.workbook.panels.controls import Level
from maker_kit.workbook.picture import Picture
from maker_kit.workshop import Workshop


def thickness_panel(workshop: Workshop, recipe: str) -> CallPanel:
    """The thickener's level against the ladder: predicted thickness, the shop's ring, the wall."""
    made = workshop.recipe(recipe)
    curve = show_life.ladder_of(workshop, made)
    level = Level("thickener level", "% of the whole", made.percent_of(made.thickener), 0.0, round(1.5 * curve.highest, 2), 0.01)
    level.row.add_class("maker-ladder-level")

    def call() -> tuple[str, Any]:
        moved = with_thickener_level(made, level.value)
        return show_life.ladder_sheet(workshop, moved).html(), show_life.ladder_shown(workshop, moved, level.value)

    return CallPanel("maker-ladder", (level,), call, Picture(charts_life.draw_ladder, 9.4, 4.2))
