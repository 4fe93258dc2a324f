"""The tabs of make or buy: what stands in each, and those that hold controls of their own."""

from __future__ import annotations

from fractions import Fraction
from time import sleep
from typing import Any

from maker_kit.buying.stopping import Asked
from maker_kit.formula.batch import counted
from maker_kit.plan.costs import CurveView
from maker_kit.plan.delivery_band import delivery_band
from maker_kit.plan.log.cupboard import CupboardList
from maker_kit.plan.log.logged_ph import with_own_log
from maker_kit.plan.sensitivity import sensitivity
from maker_kit.plan.shopping.purchases import Purchase, Solvers
from maker_kit.workbook.charts.cost_breakdown import BREAKDOWN, SENSITIVITY
from maker_kit.workbook.panels.call import Shown, as_html
from maker_kit.workbook.panels.combined_order import combined_order_panel
from maker_kit.workbook.panels.controls import Slider, sentence
from maker_kit.workbook.panels.own.prices import OwnPrices
from maker_kit.workbook.panels.own.report import report_button
from maker_kit.workbook.panels.recipe_sliders import RecipeSliders
from maker_kit.workbook.panels.screen import Screen
from maker_kit.workbook.shown import make_or_buy as shown
from maker_kit.workbook.shown.own import cupboard as cupboard_shown
from maker_kit.workbook.shown.sentences import headless
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workshop import Workshop

LIST, PARTS, ORDER, MOVES, SELL = "shopping list", "part by part", "one order", "what moves it", "selling"
PRICES, REPORT = "my prices", "report"
TABS = {
    LIST: "basket",
    PARTS: {"stack": BREAKDOWN, "parts": None},
    ORDER: {},
    MOVES: {"bars": SENSITIVITY, "moves": None},
    SELL: "selling",
    PRICES: {},
    REPORT: {},
}

REASONS_REST_S = 0.8
"""How long the controls must rest before the reasons are worked out, which takes longest of all [s]."""

BESIDE = {"keeping", "clash", "avoid"}
"""Topics of the notes that stand beside the shopping list."""
FOLLOWS = "This follows in a moment."

FAILED = (
    "The shopping list could not be worked out: something in the workbook itself failed. The curve above stands; "
    "please report it with your tables."
)


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
    upto: int
    minutes: Slider
    rate: Slider
    markup: Slider
    margin: Slider
    _together: str
    _solvers: Solvers
    _bought: Purchase | None
    _listed: CupboardList | None
    _of: str
    _list_html: str

    def stand(self, rows: list[Any], below: list[Any]) -> list[Any]:
        """As a screen does, with the counts that pay under the controls and a line over the tabs; what sets the selling
        prices stands above them.
        """
        self._pictures = ("picture",)
        *above, tabs = super().stand(rows, [*below, self.widget("words")])
        selling = self._inside(SELL)
        selling.children = (self.markup.row, self.margin.row, *selling.children)
        self._inside(REPORT).children = (report_button(lambda: self.plain.plan, self.upto),)
        return [*above, self.widget("state"), tabs]

    def _say_last(self, why: str) -> None:
        """Say in every tab what is wrong."""
        words = sentence(why or FAILED)
        self.show({"basket": words, "stack": None, "parts": words, "bars": None, "moves": words, "selling": words})

    @property
    def _own_time(self) -> Fraction:
        return shown.own_time_of(self.minutes.value, self.rate.value)

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

    def _show_list(self, bought: Purchase) -> None:
        """The list and what follows from it at once."""
        plan, view, listed = bought.plan, self.plain, self._listed  # what one is worth stays as without the cupboard
        parts = shown.breakdown_of(bought, self.minutes.value, self.rate.value)
        notes = findings_sheet(f for f in plan.findings if f.topic in BESIDE)
        sheets = (shown.shopping_sheet(bought), shown.leftovers_sheet(bought))
        if listed is not None:
            sheets = cupboard_shown.list_sheets(listed)
        self._list_html = as_html((*sheets, notes))
        self._bought, self._of = bought, f"{plan.recipe.title}, {counted(plan.containers)}"
        self.show(
            {
                "state": self._state(),
                "basket": self._list_html,
                "stack": shown.breakdown_shown(bought, parts),
                "parts": lambda: (
                    shown.breakdown_sheet(bought, parts),
                    shown.count_sheet(view, plan.batches),
                    shown.cost_sheet(bought),
                ),
                "selling": self._selling,
                **({} if self._open(MOVES) else {"bars": None, "moves": sentence(FOLLOWS)}),
            }
        )

    def _reasons(self, bought: Purchase, moved_on: Asked) -> Shown:
        """Why this list."""
        if not headless():
            sleep(REASONS_REST_S)
        if moved_on():
            return {}
        listed = self._listed.with_cupboard if self._listed else bought
        why = shown.reasons_sheet(listed.reasons(cancelled=moved_on))
        with self.telling:
            if not moved_on():
                self._list_html = as_html((self._list_html, why))
            return {"basket": self._list_html}

    def _beside_the_list(self, bought: Purchase, moved_on: Asked) -> Shown:
        """Where something new begins along the curve, and what it would be at other prices of delivery."""
        more = [shown.marks_sheet(self.view.marks)]
        plan = self.view.plan
        if not plan.market.delivery_known:
            how = {"own_batch_micros": self._own_time, "cancelled": moved_on}
            more.append(shown.delivery_sheet(delivery_band(plan, self.upto, **how)))
        return {"basket": as_html((self._list_html, *more))}

    def _moves(self, bought: Purchase, moved_on: Asked) -> Shown:
        """What moves the verdict."""
        plan, own = bought.plan, self._own_time
        moves = sensitivity(plan, self.upto, own_batch_micros=own, cancelled=moved_on)
        return {"bars": shown.sensitivity_shown(plan, moves), "moves": shown.sensitivity_sheet(plan, moves)}

    def _selling(self) -> Any:
        bought = self._bought
        if bought is None:
            return sentence(FOLLOWS)
        return shown.selling_sheet(bought, self.markup.value, self.margin.value, self._own_time)

    def _sell(self, *_: Any) -> None:
        self.show({"selling": self._selling})
