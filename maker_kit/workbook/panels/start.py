"""The first screen: the workshop's recipes with their notes and costs, one curve, and the way on."""

from __future__ import annotations

from pathlib import Path

import ipywidgets as w

from maker_kit.errors import BasketError, WorkshopError
from maker_kit.plan.costs import Purchase, Solvers, quick_purchase
from maker_kit.plan.notes import used_in_time
from maker_kit.plan.plan import Plan, make_plan
from maker_kit.workbook.charts.formula import TALL_COST
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import look, recipe_choice, text_box
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.panels.screen import Screen
from maker_kit.workbook.shown import start
from maker_kit.workbook.shown.answers import answer, faults_told, stops_banner
from maker_kit.workbook.size_cost import size_cost
from maker_kit.workshop import Workshop

USUAL = 12
"""How many containers are looked at, where they are used up while they keep."""
TABS = {"map": {"map": None}, "how far to trust it": {"trust": None}}


def usual_plan(workshop: Workshop, name: str) -> Plan:
    """A recipe at `USUAL` containers in one batch, or at as many as are used up while they keep."""
    keeps = used_in_time(workshop.recipe(name))
    return make_plan(workshop, name, batch_size=USUAL if keeps is None else max(1, min(USUAL, int(keeps))))


class StartScreen(Screen):
    """All recipes of a workshop, each planned and priced once, and the curve of the one that is chosen.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Whose curve is shown first; the workshop's first where none is named.
    folder : Path, optional
        Where the notebooks are that the map leads to; the one that is run in unless given.
    """

    def __init__(self, workshop: Workshop, recipe: str = "", folder: Path | None = None) -> None:
        if workshop.faults and not workshop.recipes:
            raise WorkshopError(workshop.faults)
        self._solvers, self._faults = Solvers(), faults_told(workshop)
        self.plans = {name: usual_plan(workshop, name) for name in workshop.recipes}
        self._priced = [(plan, self._bought(plan)) for plan in self.plans.values()]
        self._beside = start.notebooks_beside(folder or Path.cwd())
        self.recipe = recipe_choice(workshop, recipe, "curve of", **look("34em", "6em"))
        table, paste = text_box("maker-start-recipes"), text_box("maker-start-paste")
        table.value = f'<div style="overflow-x:auto">{start.recipes_sheet(self._priced).html()}</div>'
        paste.value = start.paste_link()
        body = w.VBox([table, self.recipe, paste], layout={"width": "100%"})
        super().__init__(
            "maker-start", (self.recipe,), self._look, {"curve": TALL_COST}, TABS, rows=[body], left="50em"
        )

    def _bought(self, plan: Plan) -> Purchase | None:
        try:
            return quick_purchase(plan, self._solvers.of(plan))
        except BasketError:
            return None

    def _look(self) -> Shown:
        plan = self.plans[self.recipe.value]
        return {
            "answer": answer(" · ".join((start.start_in_words(self._priced), *self._faults))),
            "stops": stops_banner(plan.findings),
            "curve": lambda: size_cost(plan, solver=self._solvers.of(plan)),
            "map": start.map_of(self._beside),
            "trust": start.trust(),
        }


@once_begun
def start_panel(workshop: Workshop, recipe: str = "", folder: Path | None = None) -> StartScreen:
    """The first screen; see `StartScreen`."""
    return StartScreen(workshop, recipe, folder)
