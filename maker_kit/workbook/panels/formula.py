"""The recipe under sliders: batch size, fragrance load, thickener level; weigh-out, notes, cost and limits follow."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.plan.costs import Solvers, quick_purchase
from maker_kit.plan.plan import Plan
from maker_kit.workbook.charts import curve_and_limits as charts
from maker_kit.workbook.charts import thickness as charts_ladder
from maker_kit.workbook.charts.picture import Picture
from maker_kit.workbook.panels.controls import PictureBox, cleared, guarded, sentence, text_box
from maker_kit.workbook.panels.levels import Levels
from maker_kit.workbook.shown import show
from maker_kit.workbook.shown import thickness as show_thickness
from maker_kit.workshop import Workshop


class FormulaPanel(w.VBox):
    """Controls, notes, one picture and the weigh-out of one recipe.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first.
    **start
        What its sliders begin with; see `Levels`.
    """

    def __init__(self, workshop: Workshop, recipe: str, **start: object) -> None:
        self.plan: Plan | None = None
        self._solvers = Solvers()
        self.levels = Levels(workshop, recipe, **start)  # type: ignore[arg-type]
        self.fault, self.words, self.notes, self.sheet = (
            text_box(f"maker-formula-{name}") for name in ("fault", "words", "notes", "weigh-out")
        )
        self.picture = PictureBox(
            Picture(charts.draw_limit_bars, 9.4, charts.limit_bars_height), "maker-formula-picture"
        )
        self.ladder = PictureBox(Picture(charts_ladder.draw_thickness, 9.4, 4.2), "maker-formula-ladder")
        self._redraw = guarded(
            cleared(self._show, (self.words, self.notes, self.sheet), (self.picture, self.ladder)), self.fault
        )
        self._redraw()
        self.levels.watch(self._redraw)
        super().__init__(
            [
                *self.levels.rows,
                self.levels.ph,
                self.fault,
                self.words,
                self.picture.image,
                self.ladder.image,
                self.notes,
                self.sheet,
            ]
        )
        self.add_class("maker-formula")

    def _show(self) -> None:
        self.plan = self.levels.plan()
        self.picture.show(self.plan.bars)
        self.ladder.show_if(show_thickness.ladder_on_file(self.levels.workshop, self.plan.recipe))
        self.words.value = (
            show.overview(self.plan).html()
            + show.cost_sheet(quick_purchase(self.plan, self._solvers.of(self.plan))).html()
        )
        self.notes.value = (
            show.notes_sheet(self.plan).html() + sentence("Usual cautions") + show.cautions_sheet(self.plan).html()
        )
        self.sheet.value = show.weigh_out_sheet(self.plan).html() + show.premix_sheet(self.plan).html()


def formula_panel(workshop: Workshop, recipe: str, **start: object) -> FormulaPanel:
    """A recipe under sliders; see `Levels` for what it can start with."""
    return FormulaPanel(workshop, recipe, **start)
