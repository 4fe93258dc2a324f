"""A recipe in any mess, read as it is typed, and kept as a recipe."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.workbook.panels.call import FIELD, CallPanel
from maker_kit.workbook.panels.controls import guarded, sentence, text_box
from maker_kit.workbook.shown import life as show_life
from maker_kit.workshop import Workshop


def text_panel(workshop: Workshop, text: str, answers: str = "") -> CallPanel:
    """A recipe in any mess, read as it is typed: lines, questions, percentages."""
    pasted = w.Textarea(value=text, description="recipe text", rows=8, continuous_update=False, **FIELD)
    replies = w.Textarea(
        value=answers,
        description="answers",
        rows=4,
        continuous_update=False,
        placeholder="line 2: amount = 56.7 g",
        **FIELD,
    )

    def call() -> tuple[str, None]:
        parsed = show_life.read_text(workshop, pasted.value, replies.value)
        return "".join(
            sheet(parsed).html()
            for sheet in (
                show_life.questions_sheet,
                show_life.percent_sheet,
                show_life.sums_sheet,
                show_life.text_sheet,
            )
        ), None

    panel = CallPanel("maker-text", (pasted, replies), call)
    name, title, source = (w.Text(description=what, **FIELD) for what in ("short name", "title", "where it was found"))
    like = w.Dropdown(
        options=[
            ("choose: where it goes, rinsed off or left on, container, fill", ""),
            *((r.title, r.name) for r in workshop.recipes.values()),
        ],
        description="kept like",
        **FIELD,
    )
    button, said = w.Button(description="save as a recipe"), text_box("maker-text-saved")

    def save() -> None:
        said.value = ""
        parsed = show_life.read_text(workshop, pasted.value, replies.value)
        said.value = sentence(
            show_life.save_text(
                workshop, parsed, name.value.strip(), title.value.strip(), source.value.strip(), like.value
            )
        )

    kept = guarded(save, panel.fault)
    button.on_click(kept)
    panel.children = (*panel.children, name, title, source, like, button, said)
    return panel
