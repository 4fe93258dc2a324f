"""A recipe in any mess, read as it is typed, with a field for each question, and kept as a recipe."""

from __future__ import annotations

import html
from collections.abc import Mapping
from typing import Any

import ipywidgets as w

from maker_kit.errors import MakerKitError
from maker_kit.formula.annexes.uses import PLACES
from maker_kit.formula.pasted.again import answers_again
from maker_kit.formula.pasted.recipe_text import RecipeText, read_recipe_text
from maker_kit.workbook.keep import keep_text
from maker_kit.workbook.panels.call import Shown, keep_button
from maker_kit.workbook.panels.controls import dropdown, field, look, text_box
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.shown import text as shown
from maker_kit.workbook.typed import read_answers
from maker_kit.workshop import Workshop

NEW = "new"
"""The choice to say what the recipe is for, in place of another recipe."""
SAY = ("none of them: I say it here", NEW)
CHOOSE = ("choose: use, container and fill as of …", "")
WIDE = look("29em", "7em")


class TextScreen(LateScreen):
    """A pasted recipe left, what it leaves open right with the percents under it; lines and sums in tabs.

    Parameters
    ----------
    workshop : Workshop
    text : str
        The recipe as it was found.
    answers : str
        Answers to begin with, one a line, as ``line 3: amount = 0.4 g``.
    """

    def __init__(self, workshop: Workshop, text: str, answers: str = "") -> None:
        self.workshop = workshop
        self._parsed: RecipeText | None = None
        lines = "\n".join(part.strip() for part in text.split(";"))
        self.text = w.Textarea(lines, rows=8, continuous_update=False, layout={"width": "26em"}, tooltip="recipe text")
        self.text.add_class("maker-text-box")
        self.questions = w.VBox(layout={"max_height": "17em", "overflow": "hidden auto", "width": "100%"})
        self.questions.add_class("maker-text-questions")
        self._fields: dict[str, tuple[w.HTML, w.Text, w.VBox]] = {}
        self._begin(read_answers(answers))
        super().__init__(
            "maker-text",
            (),
            self._shown,
            {"percents": None},
            {"lines": "lines", "sums": "sums"},
            rows=[w.HTML("the recipe as you found it", layout={"margin": "0"}), self.text],
            below=self._keeping(),
        )
        self.text.observe(self._another_text, names="value")

    def stand(self, rows: list[Any], below: list[Any]) -> list[Any]:
        """As a screen stands, with the questions over the percents."""
        stands = super().stand(rows, below)
        right = stands[-2].children[1]
        right.children = (self.questions, *right.children)
        return stands

    def parsed(self) -> RecipeText:
        """The text as it is read with the answers that were given."""
        return read_recipe_text(self.text.value, self.workshop.ingredients, self._given())

    def _given(self) -> dict[str, str]:
        return {key: box.value for key, (_, box, _) in self._fields.items() if box.value.strip()}

    def _begin(self, answers: Mapping[str, str]) -> None:
        """Fields for answers that are given already, with what they answer where that is asked of the bare text."""
        self._fields.clear()
        self.questions.children = ()
        try:
            asked = {q.key: q for q in read_recipe_text(self.text.value, self.workshop.ingredients).questions}
        except MakerKitError:  # said when it is shown
            asked = {}
        for key, value in answers.items():
            question = asked.get(key)
            self._field(key, question.text if question else "", question.answer if question else "", value)

    def _shown(self) -> Shown:
        parsed = self._parsed = self.parsed()
        for question in parsed.questions:
            self._field(question.key, question.text, question.answer)
        self.questions.children = [whole for *_, whole in self._fields.values()]
        return {
            "answer": shown.text_answer(parsed),
            "stops": "",
            "percents": shown.percent_sheet(parsed),
            "lines": lambda: shown.lines_sheet(parsed),
            "sums": lambda: shown.sums_sheet(parsed),
        }

    def _field(self, key: str, asked: str, like: str, value: str = "") -> None:
        """A field for a question, unless it has one already; in the order in which they come up."""
        if key in self._fields:
            return
        words = w.HTML(f'<span style="line-height:1.3">{html.escape(asked)}</span>', layout={"margin": "0"})
        box = field(key, value, f"such as {like}" if like else "", **look("27em", "11em"))
        box.observe(lambda _: self.redraw(), names="value")
        self._fields[key] = words, box, w.VBox([words, box], layout={"flex": "0 0 auto"})

    def _another_text(self, *_: Any) -> None:
        """Another text: an answer is kept where its line is still there, or its question is still asked."""
        try:
            kept = answers_again(self._parsed, self.text.value, self._given()) if self._parsed else {}
        except MakerKitError:  # no recipe any more; said when it is shown
            kept = {}
        self._begin(kept)
        self.redraw()

    def _keeping(self) -> list[w.Widget]:
        """Name, title, source and what it is kept like; the button, and beside it what it says."""
        name, title, source = (field(what, **WIDE) for what in ("short name", "title", "found where"))
        known = [(r.title, r.name) for r in self.workshop.recipes.values()]
        like = dropdown("kept like", [CHOOSE, SAY, *known], "" if known else NEW, **WIDE)
        where = dropdown("where it goes", PLACES, PLACES[0], **WIDE)
        rinse = dropdown("it is", ("rinse-off", "leave-on"), "rinse-off", **WIDE)
        boxes = tuple(self.workshop.containers) or ("none on file",)
        container = dropdown("container", boxes, boxes[0], **WIDE)
        fill = field("fill of one", placeholder="such as 250 mL or 50 g", **WIDE)
        about = w.VBox([where, rinse, container, fill])
        about.add_class("maker-text-about")

        def show_about(*_: Any) -> None:
            about.layout.display = None if like.value == NEW else "none"

        like.observe(show_about, names="value")
        show_about()

        def save() -> str:
            typed = (box.value.strip() for box in (name, title, source))
            if like.value != NEW:
                return keep_text(self.workshop, self.parsed(), *typed, like.value)
            said = {"where it goes": where, "rinse-off or leave-on": rinse, "container": container, "fill": fill}
            told = {heading: box.value for heading, box in said.items()}
            return keep_text(self.workshop, self.parsed(), *typed, "", about=told)

        fault, said = text_box("maker-text-kept-fault"), text_box("maker-text-saved")
        kept = keep_button("save as a recipe", save, fault, said)
        kept.layout = {"width": "10em", "flex": "0 0 auto"}
        for box in (fault, said):
            box.layout.width = "auto"
        return [name, title, source, like, about, w.HBox([kept, w.VBox([fault, said])])]


def text_panel(workshop: Workshop, text: str, answers: str = "") -> TextScreen:
    """A recipe in any mess, read as it is typed: questions, percentages, lines and sums. See `TextScreen`."""
    return TextScreen(workshop, text, answers)
