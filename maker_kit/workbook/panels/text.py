"""A recipe in any mess, read as it is typed, and kept as a recipe."""

from __future__ import annotations

from maker_kit.formula.pasted.recipe_text import RecipeText
from maker_kit.workbook.asked import pasted
from maker_kit.workbook.keep import keep_text
from maker_kit.workbook.panels.call import CallPanel, Shown, guarded
from maker_kit.workbook.panels.controls import button, dropdown, field, sentence, text_box
from maker_kit.workbook.shown import text as shown
from maker_kit.workshop import Workshop

CHOOSE = ("choose: where it goes, rinsed off or left on, container, fill", "")


def text_panel(workshop: Workshop, text: str, answers: str = "") -> CallPanel:
    """A recipe in any mess, read as it is typed: lines, questions, percentages."""
    found = field("recipe text", text, rows=8)
    replies = field("answers", answers, "line 2: amount = 56.7 g", rows=4)
    name, title, source = map(field, ("short name", "title", "where it was found"))
    like = dropdown("kept like", [CHOOSE, *((r.title, r.name) for r in workshop.recipes.values())], "")
    said = text_box("maker-text-saved")

    def parsed() -> RecipeText:
        return pasted(workshop, found.value, replies.value)

    def call() -> Shown:
        read = parsed()
        sheets = shown.questions_sheet, shown.percent_sheet, shown.sums_sheet, shown.lines_sheet
        return {"words": tuple(sheet(read) for sheet in sheets)}

    def save() -> None:
        said.value = ""
        about = (box.value.strip() for box in (name, title, source))
        said.value = sentence(keep_text(workshop, parsed(), *about, like.value))

    fields = [name, title, source, like]
    kept = button("save as a recipe", lambda _: guarded(save, panel.fault)())
    panel = CallPanel("maker-text", (found, replies), call, below=[*fields, kept, said])
    return panel
