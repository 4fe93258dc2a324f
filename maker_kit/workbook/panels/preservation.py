"""A reading of the pH, if there is one, and which share of each preservative is awake at it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as w

from maker_kit.formula.preservation.ph_reading import TOOLS
from maker_kit.formula.preservation.ph_strip import ph_strip
from maker_kit.workbook.charts import stock_and_ph as charts_life
from maker_kit.workbook.charts.picture import Picture
from maker_kit.workbook.panels.call import FIELD, CallPanel
from maker_kit.workbook.panels.controls import Level
from maker_kit.workbook.shown import life as show_life
from maker_kit.workshop import Workshop

NEUTRAL = 7.0
"""Where the slider stands before anything was read; it counts for nothing until the tick says that it was read."""


def preservation_panel(workshop: Workshop, recipe: str) -> CallPanel:
    """A reading of the pH: which share of each preservative is awake, and what that means. Until the maker ticks that it was read, there is none, whatever the slider shows."""
    made = workshop.recipe(recipe)
    was_read = w.Checkbox(
        value=made.ph_read is not None, description="I read the pH of this batch", indent=True, **FIELD
    )
    was_read.add_class("maker-ph-was-read")
    reading = Level("pH that was read", "", NEUTRAL if made.ph_read is None else made.ph_read, 0.0, 14.0, 0.1)
    reading.row.add_class("maker-ph")
    tool = w.Dropdown(
        options=[
            ("not noted", ""),
            *((f"{name}, ± {error:g} (common practice, no source)", name) for name, error in TOOLS.items()),
        ],
        value="",
        description="read with",
        **FIELD,
    )
    warm = w.Text(
        description="sample at [°C]", placeholder="empty where it was not noted", continuous_update=False, **FIELD
    )

    def call() -> tuple[str, Any]:
        for control in (tool, warm):
            control.disabled = not was_read.value
        reading.enable(was_read.value)
        if not was_read.value:
            bare = replace(made, ph_read=None)
            return show_life.preservation_sheet(bare).html(), ph_strip(bare)
        read = replace(made, ph_read=reading.value)
        noted = show_life.reading_of(reading.value, tool.value, warm.value)
        return show_life.reading_sheet(read, noted).html() + show_life.preservation_sheet(read).html(), ph_strip(
            read, noted
        )

    return CallPanel("maker-awake", (was_read, reading, tool, warm), call, Picture(charts_life.draw_ph_strip, 9.4, 4.0))
