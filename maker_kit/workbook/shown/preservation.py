"""Preservation as a maker reads it: what stops, how the reading stands, which part of each acid works along the pH."""

from __future__ import annotations

from maker_kit.findings import look
from maker_kit.formula.preservation.ph_reading import PhReading, judge_reading
from maker_kit.formula.preservation.ph_strip import ph_strip
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import Recipe
from maker_kit.workbook.charts.picture import Still
from maker_kit.workbook.charts.preservation import PH_STRIP
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet

NO_TOOL = look(
    "preservation.no_tool",
    "pH",
    "With which tool the pH was read is not noted, so how far it may be off is unknown.",
    level="unknown",
    next_step="note the tool and the temperature of the sample",
    source="common practice, no source",
)


def ph_strip_picture(recipe: Recipe) -> Still:
    """Which part of each acid preservative works from pH 3 to 9."""
    return PH_STRIP.still(ph_strip(recipe))


def preservation_sheet(recipe: Recipe) -> Sheet:
    """All that is to be said of a recipe's preservation; a stop stands first and nothing hides it."""
    return findings_sheet(judge_preservation(recipe))


def reading_sheet(recipe: Recipe, reading: PhReading | None) -> Sheet:
    """How a reading stands to what is wanted with all its possible error, and at which temperature it was read."""
    return findings_sheet((NO_TOOL,) if reading is None else judge_reading(recipe, (reading,)))
