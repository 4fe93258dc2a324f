"""A recipe in any mess, as it was read: its lines, what has to be answered, its percentages and sums."""

from __future__ import annotations

from maker_kit.formula.pasted.percents import to_percent
from maker_kit.formula.pasted.recipe_text import RecipeText
from maker_kit.workbook.shown.sheets import Sheet, frame_sheet, words_sheet


def text_answer(parsed: RecipeText) -> str:
    """Whether it is a recipe in percent yet, in one sentence."""
    lines = f"{len(parsed.lines)} line{'s' if len(parsed.lines) > 1 else ''}"
    if count := len(parsed.questions):
        return f"{lines} read; {count} question{'s are' if count > 1 else ' is'} open before it is a recipe in percent"
    made = to_percent(parsed)
    whole = "in percent" if made.total_g is None else f"of {made.total_g:,.1f} g"
    new = f"; not on file: {', '.join(made.new)}" if made.new else ""
    return f"A recipe {whole} in {lines}; nothing is left to ask{new}"


def lines_sheet(parsed: RecipeText) -> Sheet:
    """Every line of the text as it was read."""
    return frame_sheet(parsed.to_frame())


def percent_sheet(parsed: RecipeText) -> Sheet:
    """The recipe in percent, or that something still has to be answered."""
    count = len(parsed.questions)
    if count:
        open_ = "1 question is" if count == 1 else f"{count} questions are"
        return words_sheet("percentages", f"{open_} open; the percentages come when all is answered")
    return frame_sheet(to_percent(parsed).to_frame(), 4)


def sums_sheet(parsed: RecipeText) -> Sheet:
    """The sums before and after."""
    if parsed.questions:
        return words_sheet("sums", "they come with the percentages")
    return frame_sheet(to_percent(parsed).sums_frame(), 4)
