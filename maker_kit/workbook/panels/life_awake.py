"""A reading of the pH, if there is one, and which share of each preservative is awake at it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as w

from maker_kit.formula.awake_strip import awake_strip
from maker_kit.workbook import charts_life, show_life
from maker_kit.workbook.panels.call import FIELD, CallPanel
from maker_kit.workbook.panels.controls import Level
from maker_kit.workbook.picture import Picture
from maker_kit.workshop import Workshop

NEUTRAL = 7.0
"""Where the slider stands before anything was read; it counts for nothing until the tick says that it was read."""


def awake_panel(workshop: Workshop, recipe: str) -> CallPanel:
    """A reading of the pH: which share of each preservative is awake, and what that means. Until the maker ticks that it was read, there is none, whatever the slider shows."""
    made = workshop.recipe(recipe)
    was_read = w.Checkbox(value=made.ph_read is not None, description="I read the pH of this batch", indent=True, **FIELD)
    was_read.add_class("maker-ph-was-read")
    reading = Level("pH that was read", "", NEUTRAL if made.ph_read is None else made.ph_read, 0.0, 14.0, 0.1)
    reading.row.add_class("maker-ph")

    def call() -> tuple[str, Any]:
        reading.enable(was_read.value)
        read = replace(made, ph_read=reading.value if was_read.value else None)
        return show_life.preservation_sheet(read).html(), awake_strip(read)

    return CallPanel("maker-awake", (was_read, reading), call, Picture(charts_life.draw_awake, 9.4, 4.0))
