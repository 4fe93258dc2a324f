"""Preservation as a maker reads it: what stops, how the reading stands, which part of each acid works along the pH."""

from __future__ import annotations

from collections.abc import Iterable

from maker_kit.findings import Finding, look
from maker_kit.formula.kinds import DRY
from maker_kit.formula.preservation.acid_dose import AcidDose
from maker_kit.formula.preservation.ph_reading import PhReading, judge_reading
from maker_kit.formula.preservation.ph_strip import PhStrip
from maker_kit.formula.recipe import Recipe
from maker_kit.workbook.shown.answers import notes_in_words
from maker_kit.workbook.shown.sheets import Sheet, words_sheet

NO_TOOL = look(
    "preservation.no_tool",
    "pH",
    "With which tool the pH was read is not noted, so how far it may be off is unknown.",
    level="unknown",
    next_step="note the tool and the temperature of the sample",
    source="common practice, no source",
)


def preservation_answer(recipe: Recipe, strip: PhStrip, found: Iterable[Finding]) -> str:
    """Which part of each acid works at the reading, and whether something stops the recipe, in one sentence."""
    if recipe.wetness == DRY:
        works = "no water in it"
    elif recipe.ph_read is None:
        works = "no pH was read, and nothing computes one"
    else:
        shares = [f"{row.share_percent:.3g} % of the {row.acid.casefold()}" for row in strip.at_reading()]
        works = f"at pH {recipe.ph_in_words}, {' and '.join(shares) or 'no acid with a known pKa'} at work"
    return f"{recipe.title}: {works} · {notes_in_words(found)}"


def dose_sheet(dose: AcidDose) -> Sheet:
    """A start dose of acid, step by step."""
    return words_sheet(f"acid to start with: {dose.start_g:g} g", *dose.steps)


def reading_notes(recipe: Recipe, reading: PhReading | None) -> tuple[Finding, ...]:
    """How a reading stands to what is wanted with all its possible error, and at which temperature it was read."""
    return (NO_TOOL,) if reading is None else tuple(judge_reading(recipe, (reading,)))
