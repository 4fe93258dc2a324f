"""The tabs of make or buy, and those of them that hold controls of their own."""

from __future__ import annotations

from typing import Any

from maker_kit.plan.costs import CurveView, Solvers
from maker_kit.plan.log.logged_ph import with_own_log
from maker_kit.workbook.charts.make_or_buy import BREAKDOWN, SENSITIVITY
from maker_kit.workbook.panels.combined_order import combined_order_panel
from maker_kit.workbook.panels.own.prices import OwnPrices
from maker_kit.workbook.panels.recipe_sliders import RecipeSliders
from maker_kit.workbook.panels.screen import Screen
from maker_kit.workbook.shown.sentences import headless
from maker_kit.workshop import Workshop

LIST, PARTS, ORDER, MOVES, SELL = "shopping list", "part by part", "one order", "what moves it", "selling"
PRICES, REPORT = "my prices", "report"
TABS = {
    LIST: {"basket": None},
    PARTS: {"stack": BREAKDOWN, "parts": None},
    ORDER: {},
    MOVES: {"bars": SENSITIVITY, "moves": None},
    SELL: {"selling": None},
    PRICES: {},
    REPORT: {},
}


class BuyTabs(Screen):
    """A screen with these tabs; one order for several recipes, and the maker's own prices, are filled when opened.

    Attributes
    ----------
    workshop : Workshop
    view, plain : CurveView or None
        What is shown of the recipe, and the same without the cupboard.
    sliders : RecipeSliders
    """

    workshop: Workshop
    view: CurveView | None
    plain: CurveView | None
    sliders: RecipeSliders
    _together: str
    _solvers: Solvers

    def _inside(self, title: str) -> Any:
        """What stands in a tab."""
        return self.tabs.children[list(TABS).index(title)]

    def _open(self, title: str) -> bool:
        return headless() or self.tabs.selected_index == list(TABS).index(title)

    def _fill_order(self) -> None:
        inside = self._inside(ORDER)
        if not inside.children:
            inside.children = (combined_order_panel(self.workshop, self._together, self.plain and self.plain.plan),)

    def _fill_prices(self) -> None:
        """What stands in the tab of the maker's own prices, of the plan that is shown."""
        inside = self._inside(PRICES)
        if self.view is not None and not inside.children:
            inside.children = (OwnPrices(self.plain.plan, self._priced_anew),)
        elif self.view is not None:
            inside.children[0].of(self.plain.plan)

    def _priced_anew(self, workshop: Workshop) -> None:
        """A price was saved: everything is worked out with the tables as they are now."""
        self.workshop = self.sliders.workshop = with_own_log(workshop)[0]
        self._solvers, self.view = Solvers(), None
        self._inside(ORDER).children = ()
        self.redraw()
        self._fill_prices()
