"""A reading of the pH, and which share of each preservative is awake at it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from maker_kit.formula.awake_strip import awake_strip
from maker_kit.workbook import charts_life, show_life
from maker_kit.workbook.panels.call import CallPanel
from maker_kit.workbook.panels.controls import Level
from maker_kit.workbook.picture import Picture
from maker_kit.workshop import Workshop


def awake_panel(workshop: Workshop, recipe: str) -> CallPanel:
    """A reading of the pH: which share of each preservative is awake, and what that means."""
    made = workshop.recipe(recipe)
    reading = Level("pH that was read", "only a reading counts; none is computed", made.ph_read or 5.0, 3.0, 9.0, 0.1)
    reading.row.add_class("maker-ph")

    def call() -> tuple[str, Any]:
        read = replace(made, ph_read=reading.value)
        return show_life.preservation_sheet(read).html(), awake_strip(read)

    return CallPanel("maker-awake", (reading,), call, Picture(charts_life.draw_awake, 9.4, 4.0))
