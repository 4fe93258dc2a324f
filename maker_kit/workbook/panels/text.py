"""A recipe in any mess, read as it is typed, and kept as a recipe."""

from __future__ import annotations

from maker_kit.formula.pasted.recipe_text import RecipeText
from maker_kit.workbook.asked import pasted
from maker_kit.workbook.keep import keep_text
from maker_kit.workbook.panels.call import CallPanel, keep_button, result_panel
from maker_kit.workbook.panels.controls import dropdown, field, text_box
from maker_kit.workbook.shown.text import lines_sheet, percent_sheet, questions_sheet, sums_sheet
from maker_kit.workshop import Workshop

CHOOSE = ("choose: where it goes, rinsed off or left on, container, fill", "")


def text_panel(workshop: Workshop, text: str, answers: str = "") -> CallPanel:
    """A recipe in any mess, read as it is typed: lines, questions, percentages."""
    found = field("recipe text", text, rows=8)
    replies = field("answers", answers, "line 2: amount = 56.7 g", rows=4)
    name, title, source = map(field, ("short name", "title", "where it was found"))
    like = dropdown("kept like", [CHOOSE, *((r.title, r.name) for r in workshop.recipes.values())], "")

    def parsed() -> RecipeText:
        return pasted(workshop, found.value, replies.value)

    def save() -> str:
        return keep_text(workshop, parsed(), *(box.value.strip() for box in (name, title, source)), like.value)

    fault, said = text_box("maker-text-kept-fault"), text_box("maker-text-saved")
    kept = keep_button("save as a recipe", save, fault, said)
    sheets, below = (
        (questions_sheet, percent_sheet, sums_sheet, lines_sheet),
        [name, title, source, like, kept, fault, said],
    )
    return result_panel("maker-text", (found, replies), parsed, sheets, below=below)
