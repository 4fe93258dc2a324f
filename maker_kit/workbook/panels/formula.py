"""The recipe under sliders: batch size, fragrance load, thickener level; weigh-out, notes, cost and limits follow."""

from __future__ import annotations

import ipywidgets as w

from maker_kit.errors import NoticeError
from maker_kit.formula.recipe import Recipe
from maker_kit.verdict.costs import Solvers, quick_purchase
from maker_kit.verdict.plan import Plan, make_plan
from maker_kit.workbook import charts, show
from maker_kit.workbook.panels.controls import Level, PictureBox, guarded, sentence, text_box
from maker_kit.workbook.picture import Picture
from maker_kit.workshop import Workshop

MOST_CONTAINERS = 200
LOADS = (0.0, 3.0, 0.05)
KEEP = "the recipe's own"


class FormulaPanel(w.VBox):
    """Controls, notes, one picture and the weigh-out of one recipe.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first.
    batch_size : int
        Containers in one batch.
    fragrance_load, thickener_level : float, optional
        Levels to begin with, of the whole [%].
    scent : str
        Another scent to begin with.
    ph_read : float, optional
        A reading to begin with.
    """

    def __init__(
        self, workshop: Workshop, recipe: str, batch_size: int = 12, fragrance_load: float | None = None, thickener_level: float | None = None, scent: str = "", ph_read: float | None = None,
    ) -> None:
        self.workshop = workshop
        self.plan: Plan | None = None
        self._solvers = Solvers()
        shown = workshop.recipe(recipe)
        scents = [i.name for i in workshop.ingredients.values() if i.function == "scent"]
        wide = {"style": {"description_width": "11em"}, "layout": w.Layout(width="34em")}
        self.recipe = w.Dropdown(options=[(r.title, r.name) for r in workshop.recipes.values()], value=shown.name, description="recipe", **wide)
        self.scent = w.Dropdown(options=[KEEP, *scents], value=scent or KEEP, description="scent", **wide)
        self.ph = w.Text(value="" if ph_read is None else f"{ph_read:g}", placeholder=_reading(shown), description="pH that was read", continuous_update=False, **wide)
        self.size = Level("batch size", "containers", batch_size, 1, max(MOST_CONTAINERS, batch_size), 1, whole=True)
        self.load = Level("fragrance load", "% of the whole", 0, *LOADS)
        self.level = Level("thickener level", "% of the whole", 0, 0.0, 1.5, 0.01)
        for control, name in ((self.size, "maker-batch-size"), (self.load, "maker-fragrance-load"), (self.level, "maker-thickener-level")):
            control.row.add_class(name)
        self.fault, self.words, self.notes, self.sheet = (text_box(f"maker-formula-{name}") for name in ("fault", "words", "notes", "weigh-out"))
        self.picture = PictureBox(Picture(charts.draw_limit_bars, 9.4, charts.limit_bars_height), "maker-formula-picture")
        self._redraw = guarded(self._show, self.fault)
        self._quiet = False
        self._fit(shown, fragrance_load, thickener_level)
        self._redraw()
        self.recipe.observe(self._changed_recipe, names="value")
        for control in (self.scent, self.ph):
            control.observe(self._changed, names="value")
        for level in (self.size, self.load, self.level):
            level.watch(self._changed)
        super().__init__([self.recipe, self.scent, self.size.row, self.load.row, self.level.row, self.ph, self.fault, self.words, self.picture.image, self.notes, self.sheet])
        self.add_class("maker-formula")

    def _fit(self, recipe: Recipe, load: float | None = None, level: float | None = None) -> None:
        """Give the sliders the range and the levels of a recipe."""
        self.load.enable(bool(recipe.scent))
        self.load.reach(load if load is not None else recipe.percent_of(recipe.scent) if recipe.scent else 0.0, LOADS[0], max(LOADS[1], load or 0.0), LOADS[2])
        self.level.enable(bool(recipe.thickener))
        if recipe.thickener:
            own = recipe.percent_of(recipe.thickener)
            most = recipe.ingredients[recipe.thickener].most_percent or 2 * own
            self.level.reach(level if level is not None else own, 0.0, max(1.5 * most, own, level or 0.0), 0.01)
        else:
            self.level.reach(0.0, 0.0, 1.0, 0.01)

    def _changed(self, *_: object) -> None:
        if not self._quiet:
            self._redraw()

    def _changed_recipe(self, *_: object) -> None:
        self._quiet = True
        recipe = self.workshop.recipe(self.recipe.value)
        self._fit(recipe)
        self.scent.value, self.ph.value, self.ph.placeholder = KEEP, "", _reading(recipe)
        self._quiet = False
        self._redraw()

    def _show(self) -> None:
        recipe = self.workshop.recipe(self.recipe.value)
        self.plan = make_plan(
            self.workshop, recipe.name, batch_size=int(self.size.value), scent="" if self.scent.value == KEEP else self.scent.value, ph_read=_number(self.ph.value),
            fragrance_load=self.load.value if recipe.scent else None, thickener_level=self.level.value if recipe.thickener else None,
        )
        self.picture.show(self.plan.bars)
        self.words.value = show.overview(self.plan).html() + show.cost_sheet(quick_purchase(self.plan, self._solvers.of(self.plan))).html()
        self.notes.value = show.notes_sheet(self.plan).html() + sentence("Usual cautions") + show.cautions_sheet(self.plan).html()
        self.sheet.value = show.weigh_out_sheet(self.plan).html() + show.premix_sheet(self.plan).html()


def _reading(recipe: Recipe) -> str:
    if not recipe.holds_water:
        return "no water in it, no pH to read"
    return "none on file" if recipe.ph_read is None else f"{recipe.ph_read:g} (last reading on file)"


def _number(text: str) -> float | None:
    plain = text.strip().replace(",", ".")
    if not plain:
        return None
    try:
        return float(plain)
    except ValueError as error:
        msg = f'"{text}" is no pH: write a number such as 5.2, or leave it empty'
        raise NoticeError(msg) from error


def formula_panel(workshop: Workshop, recipe: str, **start: object) -> FormulaPanel:
    """A recipe under sliders; see `FormulaPanel` for what it can start with."""
    return FormulaPanel(workshop, recipe, **start)  # type: ignore[arg-type]
