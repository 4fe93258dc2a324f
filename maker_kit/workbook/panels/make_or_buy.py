"""The cost curve of a recipe, and a slider that reads any count of it: shopping list, reasons, both costs."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as w

from maker_kit.verdict.costs import CurveView, curve_view, purchase
from maker_kit.verdict.plan import make_plan
from maker_kit.workbook import charts, show
from maker_kit.workbook.panels.controls import Level, PictureBox, guarded, text_box
from maker_kit.workbook.picture import Picture
from maker_kit.workbook.sheets import findings_sheet
from maker_kit.workshop import Workshop


class MakeOrBuyPanel(w.VBox):
    """A choice of recipe, its curve, and one count read from it.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first.
    batch_size : int
        Containers in one batch.
    batches : int
        Count looked at first.
    upto : int
        Largest count of the curve.
    view : CurveView, optional
        The curve of that recipe, where it is at hand already.
    """

    def __init__(self, workshop: Workshop, recipe: str, batch_size: int = 1, batches: int = 12, upto: int = 48, view: CurveView | None = None) -> None:
        self.workshop, self.upto, self.batch_size = workshop, upto, batch_size
        self.view = view
        shown = workshop.recipe(recipe)
        self.recipe = w.Dropdown(options=[(r.title, r.name) for r in workshop.recipes.values()], value=shown.name, description="recipe", style={"description_width": "11em"}, layout=w.Layout(width="34em"))
        self.count = Level("count looked at", "batches from one order", min(batches, upto), 1, upto, 1, whole=True)
        self.count.row.add_class("maker-count")
        self.progress = w.IntProgress(min=0, max=upto, description="counts solved", style={"description_width": "11em"}, layout=w.Layout(width="34em", display="none"))
        self.fault, self.words, self.basket = (text_box(f"maker-buy-{name}") for name in ("fault", "words", "basket"))
        self.picture = PictureBox(Picture(charts.draw_curve, 9.4, charts.curve_height), "maker-buy-picture")
        self._redraw = guarded(self._show, self.fault)
        self._redraw()
        self.recipe.observe(self._changed_recipe, names="value")
        self.count.watch(self._redraw)
        super().__init__([self.recipe, self.count.row, self.progress, self.fault, self.picture.image, self.words, self.basket])
        self.add_class("maker-make-or-buy")

    def _changed_recipe(self, *_: object) -> None:
        self.view = None
        self._redraw()

    def _show(self) -> None:
        plan = make_plan(self.workshop, self.recipe.value, batch_size=self.batch_size, batches=int(self.count.value))
        if self.view is None:
            self.progress.value, self.progress.layout.display = 0, None
            try:
                self.view = curve_view(plan, self.upto, progress=self._solved)
            finally:
                self.progress.layout.display = "none"
        self.picture.show(replace(self.view, mark=plan.containers))
        bought = purchase(plan)
        keeping = [finding for finding in plan.findings if finding.topic == "keeping"]
        self.words.value = show.counts_sheet(self.view).html() + show.cost_sheet(bought).html() + findings_sheet(keeping).html()
        self.basket.value = show.shopping_sheet(bought).html() + show.reasons_sheet(bought).html()

    def _solved(self, done: int, total: int) -> None:
        self.progress.max, self.progress.value = total, done


def make_or_buy_panel(workshop: Workshop, recipe: str, **start: object) -> MakeOrBuyPanel:
    """A recipe's cost curve under a slider; see `MakeOrBuyPanel` for what it can start with."""
    return MakeOrBuyPanel(workshop, recipe, **start)  # type: ignore[arg-type]
