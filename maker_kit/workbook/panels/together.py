"""Recipes and counts for one order: what it saves, each recipe's fair share, and the joint shopping list."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.workbook.panels.controls import Level, cleared, guarded, text_box
from maker_kit.workbook.shown.together import read_together, together, together_sheets
from maker_kit.workshop import Workshop

MOST_CONTAINERS = 200


class TogetherPanel(w.VBox):
    """A slider a recipe for how many containers of it are wanted, and the order for all of them.

    Parameters
    ----------
    workshop : Workshop
    text : str
        What is chosen first, as `read_together` takes it.
    """

    def __init__(self, workshop: Workshop, text: str = "") -> None:
        self.workshop = workshop
        asked = read_together(workshop, text)
        self.levels: dict[str, Level] = {}
        for recipe in workshop.recipes.values():
            wanted = asked.get(recipe.name, 0)
            level = Level(
                recipe.title, "containers; 0 leaves it out", wanted, 0, max(MOST_CONTAINERS, wanted), 1, whole=True
            )
            level.slider.continuous_update = False  # an order for six recipes takes a second
            level.box.style.description_width = "21em"
            level.box.layout.width = "28em"
            level.row.add_class(f"maker-together-{recipe.name}")
            self.levels[recipe.name] = level
        self.fault, self.words = text_box("maker-together-fault"), text_box("maker-together-words")
        self._redraw = guarded(cleared(self._show, (self.words,), ()), self.fault)
        self._redraw()
        for level in self.levels.values():
            level.watch(self._redraw)
        super().__init__([*(level.row for level in self.levels.values()), self.fault, self.words])
        self.add_class("maker-together")

    def _show(self) -> None:
        order = together(self.workshop, {name: int(level.value) for name, level in self.levels.items()})
        self.words.value = together_sheets(self.workshop, order).html()


def together_panel(workshop: Workshop, text: str = "") -> TogetherPanel:
    """One order for several recipes under sliders; see `TogetherPanel`."""
    return TogetherPanel(workshop, text)
