"""The recipe under sliders: batch size, fragrance load, thickener level; its limits, its cost, and the rest in tabs."""

from __future__ import annotations

from maker_kit.buying.stopping import Asked
from maker_kit.errors import BasketError
from maker_kit.plan.log.logged_ph import with_own_log
from maker_kit.plan.plan import Plan
from maker_kit.plan.shopping.purchases import Solvers, purchase
from maker_kit.workbook.asked import thickness_of
from maker_kit.workbook.behind import Behind
from maker_kit.workbook.charts.formula import GRAVEST, LIMITS, MOST_BARS, SIZE_COST
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.charts.thickness import THICKNESS
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import sentence
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.panels.recipe_sliders import RecipeSliders
from maker_kit.workbook.panels.screen import Screen
from maker_kit.workbook.shown import formula, make_or_buy
from maker_kit.workbook.shown.answers import size_in_words
from maker_kit.workbook.shown.sentences import headless
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet
from maker_kit.workbook.shown.thickness import thickness_sheet, thickness_shown
from maker_kit.workbook.size_cost import SizeCost, size_cost
from maker_kit.workshop import Workshop

FIRST_LOOK_S, MOVED_S = 0.15, 0.01
"""How long the curve may take before it is drawn, at first and when a control moved; what is open then is crossed [s].
"""
REST_S = 0.15
"""How long the controls must rest before the open counts are proved in the background [s]."""
TABS = {
    "weigh-out": {"words": None, "weigh_out": None},
    "notes": {"notes": None, "all_limits": LIMITS},
    "cost": "cost",
    "thickness": {"thickness": THICKNESS, "thick": None},
    "cautions": "cautions",
}


class FormulaScreen(Screen):
    """Controls, limits, cost and notes of one recipe.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first; the workshop's first where none is named.
    **start
        What its sliders begin with; see `RecipeSliders`.
    """

    def __init__(self, workshop: Workshop, recipe: str = "", **start: object) -> None:
        self.sliders, self._solvers = RecipeSliders(workshop, recipe, **start), Solvers()
        self._found: SizeCost | None = None
        self._plan: Plan | None = None
        self._behind = Behind(self._settle, lambda _: None)  # what was told at once stands where proving it fails
        sliders = self.sliders
        rows = [sliders.recipe, sliders.size.row, sliders.load.row, sliders.thickener.row, sliders.scent, sliders.ph]
        pictures = {"picture": GRAVEST, "curve": SIZE_COST}
        super().__init__("maker-formula", (sliders,), self._look, pictures, TABS, rows)

    def wait(self, seconds: float = 60.0) -> bool:
        """Wait for the background; true once nothing is under way."""
        return self._behind.wait(seconds)

    def _look(self) -> Shown:
        """What is known at once; counts that are not proved yet follow from the background."""
        self._behind.moves_on()
        self._plan = plan = self.sliders.plan()
        seconds = MOVED_S if self._found else FIRST_LOOK_S
        self._found = self._cost(plan, {} if headless() else {"seconds": seconds, "close": False})
        if self._found and not self._found.settled:
            self._behind.start(REST_S)
        bars = Of(plan.recipe.title, plan.bars)
        return {**self._costs(plan), "stops": plan.findings, "picture": bars, **self._inside(plan)}

    def _cost(self, plan: Plan, how: dict) -> SizeCost | None:
        """The cost along the batch size; None where nothing of it can be said."""
        known = self._found.view if self._found else None
        try:
            return size_cost(plan, solver=self._solvers.of(plan), known=known, **how)
        except BasketError:
            return None

    def _costs(self, plan: Plan) -> Shown:
        """The answer, and the curve unless nothing on it can be bought."""
        bought = self._found and any(p.upper_micros is not None for p in self._found.view.curve.points)
        return {"answer": size_in_words(self._found, plan), "curve": self._found if bought else None}

    def _settle(self, moved_on: Asked, _: Asked) -> None:
        """Prove the counts that are open, unless a control has moved again."""
        plan = self._plan
        found = None if moved_on() else self._cost(plan, {"cancelled": moved_on})
        with self.telling:
            if found and not moved_on():
                self._found = found
                self.show(self._costs(plan))

    def _inside(self, plan: Plan) -> Shown:
        """What stands in the tabs, each worked out when it is seen."""
        thick = thickness_of(plan.workshop, plan.recipe) if plan.recipe.thickener else None
        return {
            "words": lambda: formula.overview(plan),
            "weigh_out": lambda: (formula.weigh_out_sheet(plan), formula.premix_sheet(plan)),
            "notes": lambda: findings_sheet(plan.notes),
            "all_limits": Of(plan.recipe.title, plan.bars) if len(plan.bars) > MOST_BARS else None,
            "cost": lambda: _cost_sheet(plan),
            "thickness": lambda: thick and thickness_shown(thick) and Of(plan.recipe.title, thickness_shown(thick)),
            "thick": lambda: thickness_sheet(thick) if thick else sentence("No thickener is named in this recipe."),
            "cautions": lambda: findings_sheet(plan.cautions),
        }


def _cost_sheet(plan: Plan) -> Sheet | str:
    """What one container costs beside the shop's prices; in words why not, where it cannot be bought."""
    try:
        return make_or_buy.cost_sheet(purchase(plan))
    except BasketError as error:
        return sentence(str(error))


@once_begun
def formula_panel(workshop: Workshop, recipe: str = "", **start: object) -> FormulaScreen:
    """A recipe under its sliders; see `FormulaScreen` for what it can start with."""
    return FormulaScreen(with_own_log(workshop)[0], recipe, **start)
