"""The first screen: the workshop's recipes with their notes and costs, one curve, and the way on."""

from __future__ import annotations

from pathlib import Path

import ipywidgets as w

from maker_kit.errors import BasketError
from maker_kit.plan.notes import used_in_time
from maker_kit.plan.plan import Plan, make_plan
from maker_kit.plan.shopping.purchases import Purchase, Solvers, quick_purchase
from maker_kit.workbook.charts.formula import TALL_COST
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import dropdown, look, recipe_choice, text_box
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.panels.screen import Screen
from maker_kit.workbook.shown import start
from maker_kit.workbook.size_cost import size_cost
from maker_kit.workshop import Workshop

USUAL = 12
"""How many containers are looked at, where they are used up while they keep."""
AT_ONCE = 12
"""Most recipes that are planned and priced for one look; the others of a large workshop are a choice away."""
TABS = {"map": "map", "how far to trust it": "trust"}


def usual_plan(workshop: Workshop, name: str) -> Plan:
    """A recipe at `USUAL` containers in one batch, or at as many as are used up while they keep."""
    keeps = used_in_time(workshop.recipe(name))
    return make_plan(workshop, name, batch_size=USUAL if keeps is None else max(1, min(USUAL, int(keeps))))


class StartScreen(Screen):
    """The recipes of a workshop, each planned and priced once when it is looked at, and the curve of one of them.

    At most `AT_ONCE` are looked at together; where there are more, a choice leads through them.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Whose curve is shown first; the workshop's first where none is named.
    folder : Path, optional
        Where the notebooks are that the map leads to; the one that is run in unless given.
    """

    def __init__(self, workshop: Workshop, recipe: str = "", folder: Path | None = None) -> None:
        self._solvers, self._workshop = Solvers(), workshop
        self.plans: dict[str, Plan] = {}
        self._bought_for: dict[str, Purchase | None] = {}
        self.pages = start.pages(tuple(workshop.recipes), AT_ONCE)
        self._beside = start.notebooks_beside(folder or Path.cwd())
        self.recipe = recipe_choice(workshop, recipe, "curve of", **look("34em", "6em"))
        self._table, paste = text_box("maker-start-recipes"), text_box("maker-start-paste")
        paste.value = start.paste_link()
        titles = list(self.pages)
        name = self.recipe.value
        self.page = dropdown("recipes", titles, next(t for t in titles if name in self.pages[t]), **look("34em", "6em"))
        more = [self.page] if len(titles) > 1 else []
        body = w.VBox([*more, self._table, self.recipe, paste], layout={"width": "100%"})
        super().__init__(
            "maker-start", (*more, self.recipe), self._look, {"curve": TALL_COST}, TABS, rows=[body], left="50em"
        )

    def plan_of(self, name: str) -> Plan:
        """A recipe's plan, made when it is first looked at."""
        if name not in self.plans:
            self.plans[name] = usual_plan(self._workshop, name)
        return self.plans[name]

    def _priced(self, name: str) -> start.Priced:
        plan = self.plan_of(name)
        if name not in self._bought_for:
            self._bought_for[name] = self._bought(plan)
        return plan, self._bought_for[name]

    def _bought(self, plan: Plan) -> Purchase | None:
        try:
            return quick_purchase(plan, self._solvers.of(plan))
        except BasketError:
            return None

    def _look(self) -> Shown:
        plan, priced = self.plan_of(self.recipe.value), [self._priced(name) for name in self.pages[self.page.value]]
        self._table.value = f'<div style="overflow-x:auto">{start.recipes_sheet(priced).html()}</div>'
        return {
            "answer": start.start_in_words(priced, len(self._workshop.recipes)),
            "stops": plan.findings,
            "curve": lambda: size_cost(plan, solver=self._solvers.of(plan)),
            "map": start.map_of(self._beside),
            "trust": start.trust(),
        }


@once_begun
def start_panel(workshop: Workshop, recipe: str = "", folder: Path | None = None) -> StartScreen:
    """The first screen; see `StartScreen`."""
    return StartScreen(workshop, recipe, folder)
