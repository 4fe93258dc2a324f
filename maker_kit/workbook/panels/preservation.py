"""A reading of the pH, if there is one, and which part of each acid preservative works at it."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as w

from maker_kit.formula.preservation.ph_reading import TOOLS
from maker_kit.formula.preservation.ph_strip import ph_strip
from maker_kit.workbook.asked import reading_of
from maker_kit.workbook.charts.preservation import PH_STRIP
from maker_kit.workbook.panels.call import CallPanel, Shown
from maker_kit.workbook.panels.controls import Slider, dropdown, field, look
from maker_kit.workbook.shown import preservation as shown
from maker_kit.workshop import Workshop

NEUTRAL = 7.0
"""Where the slider stands before anything was read; it counts for nothing until the tick says that it was read."""


def preservation_panel(workshop: Workshop, recipe: str) -> CallPanel:
    """A reading of the pH: which part of each acid preservative works at it, and what that means.

    Until the maker ticks that it was read, there is none, whatever the slider shows.
    """
    made = workshop.recipe(recipe)
    on_file = made.ph_read is not None
    was_read = w.Checkbox(value=on_file, description="I read the pH of this batch", indent=True, **look())
    was_read.add_class("maker-ph-was-read")
    began = made.ph_read if on_file else NEUTRAL
    reading = Slider("pH that was read", "", began, 0.0, 14.0, 0.1, css="maker-ph")
    tools = [(f"{name}, ± {error:g} (common practice, no source)", name) for name, error in TOOLS.items()]
    tool = dropdown("read with", [("not noted", ""), *tools], "")
    warm = field("sample at [°C]", placeholder="empty where it was not noted")

    def call() -> Shown:
        tool.disabled = warm.disabled = not was_read.value
        reading.enable(was_read.value)
        if not was_read.value:
            bare = replace(made, ph_read=None)
            return {"picture": ph_strip(bare), "words": shown.preservation_sheet(bare)}
        read = replace(made, ph_read=reading.value)
        noted = reading_of(reading.value, tool.value, warm.value)
        words = shown.reading_sheet(read, noted), shown.preservation_sheet(read)
        return {"picture": ph_strip(read, noted), "words": words}

    return CallPanel("maker-preservation", (was_read, reading, tool, warm), call, PH_STRIP)
