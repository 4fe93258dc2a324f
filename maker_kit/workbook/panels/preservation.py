"""A reading of the pH, if there is one, and which part of each acid preservative works at it; and what goes with it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

import ipywidgets as w

from maker_kit.formula.density import density_of
from maker_kit.formula.preservation.ph_reading import TOOLS, PhReading, reading_error
from maker_kit.formula.preservation.ph_strip import ph_strip
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.log.logged_ph import with_own_log
from maker_kit.plan.notes import ph_findings
from maker_kit.workbook.asked import acid_start, reading_of
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.charts.preservation import PH_STRIP
from maker_kit.workbook.fitting import first_recipe, has_water
from maker_kit.workbook.panels.call import CallPanel, Shown, result_panel
from maker_kit.workbook.panels.controls import Slider, dropdown, field, look, recipe_choice
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.shown import preservation as shown
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workshop import Workshop

NEUTRAL = 7.0
"""Where the slider stands before anything was read; it counts for nothing until the tick says that it was read."""
WIDE = look("26em", "8.6em")
ROOM = ("8.6em", "13em", "7.5em")


@once_begun
def preservation_panel(
    workshop: Workshop, recipe: str = "", more: Mapping[str, Callable[[], w.Widget]] | None = None
) -> LateScreen:
    """A reading of the pH: which part of each acid preservative works at it, and what that means.

    Until the maker ticks that it was read, there is none, whatever the slider shows.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Empty for the first that holds water.
    more : Mapping of str to callable, optional
        Title → content of tabs behind its own.
    """
    workshop, _ = with_own_log(workshop)
    first = first_recipe(workshop, recipe, has_water)
    which = recipe_choice(workshop, first.name)
    was_read = w.Checkbox(description="I read the pH of this batch", indent=True, **WIDE)
    was_read.add_class("maker-ph-was-read")
    reading = Slider("pH that was read", "", NEUTRAL, 0.0, 14.0, 0.1, css="maker-ph", widths=ROOM)
    tools = [(f"{name}, ± {error:g}", name) for name, error in TOOLS.items()]
    tool = dropdown("read with", [("not noted", ""), *tools], "", **WIDE)
    warm = field("sample at [°C]", placeholder="empty where it was not noted", **WIDE)

    def fit(*_: Any) -> None:
        made = workshop.recipe(which.value)
        reading.slider.value = NEUTRAL if made.ph_read is None else made.ph_read
        was_read.value = made.ph_read is not None
        tool.value, warm.value = made.ph_tool, "" if made.ph_at_c is None else f"{made.ph_at_c:g}"

    def read() -> tuple[Recipe, PhReading | None]:
        made = workshop.recipe(which.value)
        if not was_read.value:
            return replace(made, ph_read=None, ph_noted=""), None
        noted = reading_of(reading.value, tool.value, warm.value)
        error = reading_error(tool.value)
        as_noted = (reading.value, tool.value) == (made.ph_read, made.ph_tool)
        where = made.ph_noted if as_noted else ""  # of the batch in the log, until another reading is given
        return replace(made, ph_read=reading.value, ph_tool=tool.value, ph_error=error, ph_noted=where), noted

    def call() -> Shown:
        tool.disabled = warm.disabled = not was_read.value
        reading.enable(was_read.value)
        made, noted = read()
        strip, found = ph_strip(made, noted), judge_preservation(made)
        notes = (*ph_findings(workshop, made), *(shown.reading_notes(made, noted) if was_read.value else ()))
        return {
            "answer": shown.preservation_answer(made, strip, (*notes, *found)),
            "stops": (*notes, *found),
            "picture": Of(made.title, strip),
            "words": (*((findings_sheet(notes),) if notes else ()), findings_sheet(found)),
        }

    def density() -> CallPanel:
        def measured() -> Any:
            return findings_sheet(density_of(workshop.recipe(which.value)).findings)

        return result_panel("maker-density", (which,), measured, (lambda sheet: sheet,), rows=[])

    fit()
    which.observe(fit, names="value")
    return LateScreen(
        "maker-preservation",
        (was_read, reading, tool, warm, which),
        call,
        {"picture": PH_STRIP},
        {"what it means": "words"},
        more={**(more or {}), "density": density},
        rows=[which, was_read, reading.row, tool, warm],
    )


def acid_panel(acid_g: float, batch_g: float, now_g: float) -> CallPanel:
    """A start dose of acid from what it took last time.

    Parameters
    ----------
    acid_g, batch_g, now_g : float
        Acid and batch of last time, and the batch of today [g], to begin with.
    """
    words = ("acid of last time", acid_g), ("batch of last time", batch_g), ("batch of today", now_g)
    boxes = [field(f"{what} [g]", f"{mass:g}", **look("20em", "12em")) for what, mass in words]

    def start() -> Any:
        return acid_start(*(box.value for box in boxes))

    return result_panel("maker-acid", boxes, start, (shown.dose_sheet, lambda dose: findings_sheet(dose.findings)))
