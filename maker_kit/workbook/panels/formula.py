"""The recipe under sliders: batch size, fragrance load, thickener level; weigh-out, notes, cost and limits follow."""

from __future__ import annotations

from maker_kit.plan.costs import Solvers, quick_purchase
from maker_kit.workbook.asked import thickness_of
from maker_kit.workbook.charts.formula import LIMITS
from maker_kit.workbook.charts.thickness import THICKNESS
from maker_kit.workbook.panels.call import CallPanel, Shown
from maker_kit.workbook.panels.controls import sentence
from maker_kit.workbook.panels.recipe_sliders import RecipeSliders
from maker_kit.workbook.shown import formula, make_or_buy
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workbook.shown.thickness import thickness_shown
from maker_kit.workshop import Workshop

PLACES = {"words": None, "picture": LIMITS, "thickness": THICKNESS, "notes": None, "weigh_out": None}


def formula_panel(workshop: Workshop, recipe: str, **start: object) -> CallPanel:
    """Controls, notes, pictures and the weigh-out of one recipe.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first.
    **start
        What its sliders begin with; see `RecipeSliders`.
    """
    sliders, solvers = RecipeSliders(workshop, recipe, **start), Solvers()

    def call() -> Shown:
        plan = sliders.plan()
        return {
            "picture": plan.bars,
            "thickness": lambda: thickness_shown(thickness_of(workshop, plan.recipe)),
            "words": lambda: (
                formula.overview(plan),
                make_or_buy.cost_sheet(quick_purchase(plan, solvers.of(plan))),
            ),
            "notes": lambda: (
                findings_sheet(plan.findings),
                sentence("Usual cautions"),
                findings_sheet(plan.cautions),
            ),
            "weigh_out": lambda: (formula.weigh_out_sheet(plan), formula.premix_sheet(plan)),
        }

    return CallPanel("maker-formula", (sliders,), call, PLACES, rows=[*sliders.rows, sliders.ph])
