"""Make or buy on one screen: the cost curve under its sliders, the counts that pay, and in tabs what takes longer."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from time import monotonic, sleep
from typing import Any

from maker_kit.errors import MakerKitError
from maker_kit.formula.batch import counted
from maker_kit.plan.costs import CurveView, Purchase, Solvers, curve_view, purchase, settled_view
from maker_kit.plan.delivery_band import delivery_band
from maker_kit.plan.plan import Plan
from maker_kit.plan.sensitivity import sensitivity
from maker_kit.workbook.charts.make_or_buy import BREAKDOWN, CURVE, SENSITIVITY
from maker_kit.workbook.panels.call import Shown, as_html
from maker_kit.workbook.panels.combined_order import combined_order_panel
from maker_kit.workbook.panels.controls import SLIDER, counter, sentence, slider_to
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.panels.own.prices import OwnPrices
from maker_kit.workbook.panels.own.report import report_button
from maker_kit.workbook.panels.recipe_sliders import RecipeSliders
from maker_kit.workbook.panels.screen import Screen
from maker_kit.workbook.shown import make_or_buy as shown
from maker_kit.workbook.shown.answers import answer, stops_banner
from maker_kit.workbook.shown.sentences import headless
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workshop import Workshop

FIRST_LOOK_S = 0.035
"""How long the curve may take before it is drawn, with crosses where a count is not proved yet [s]."""

REST_S = 0.12
"""How long the controls must rest before the background starts, so that no slider that is dragged slows down [s]."""

REASONS_REST_S = 0.8
"""How long the controls must rest before the reasons are worked out, which takes longest of all [s]."""

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
BESIDE = {"keeping", "clash", "avoid"}
"""Topics of the notes that stand beside the shopping list."""
FAILED = (
    "The shopping list could not be worked out: something in the workbook itself failed. The curve above stands; "
    "please report it with your tables."
)
FOLLOWS = "This follows in a moment."


class MakeOrBuyPanel(Screen):
    """A choice of recipe, sliders for its levels, its whole curve redrawn live, and one count read from it.

    The picture and the counts that pay come at once; what takes longer (counts not proved yet, the settled shopping
    list, its reasons, what moves the verdict) follows from the background, as far as its tab is open, and is dropped as
    soon as a control moves again. What stands in an open tab stays until the new is there; a line says what it is of.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first; the workshop's first one where it is empty.
    batch_size, batches, upto : int
        Containers in one batch, count looked at first, largest count of the curve.
    minutes_per_batch, hourly_rate : float
        Own minutes [min] and what an hour is worth [currency]; not counted where either is 0.
    together : str
        Recipes and containers for one order, as `maker_kit.workbook.ordering.read_counts` takes them.
    markup, margin : float
        Mark-up on the cost and margin in the price [%] to begin with.
    """

    def __init__(
        self,
        workshop: Workshop,
        recipe: str = "",
        batch_size: int = 1,
        batches: int = 12,
        upto: int = 48,
        minutes_per_batch: float = 0,
        hourly_rate: float = 0,
        together: str = "",
        markup: float = 50,
        margin: float = 50,
    ) -> None:
        self.workshop, self.upto, self._together = workshop, upto, together
        self.view: CurveView | None = None
        self._solvers, self._turn, self._at_work = Solvers(), 0, threading.Lock()
        self._bought: Purchase | None = None
        self._list_html, self._done, self._of = "", frozenset(), ""
        self._worker: threading.Thread | None = None
        self.sliders = RecipeSliders(workshop, recipe, batch_size)
        look = {"widths": SLIDER}
        self.count = counter("count looked at", "batches", min(batches, upto), upto, css="maker-count", **look)
        self.minutes = slider_to(240.0, "own minutes", "a batch", minutes_per_batch, 0, 5, css="maker-minutes", **look)
        currency = workshop.settings.currency
        self.rate = slider_to(60.0, "an hour is worth", currency, hourly_rate, 0, 1, css="maker-rate", **look)
        self.markup = slider_to(300.0, "mark-up", "% of the cost", markup, 0, 5, css="maker-markup")
        self.margin = slider_to(95.0, "margin", "% of the price", margin, 0, 5, css="maker-margin")
        of_recipe = (self.sliders.size, self.sliders.load, self.sliders.thickener)
        own = (self.count, self.minutes, self.rate)
        rows = [self.sliders.recipe, *(slider.row for slider in (*of_recipe, *own))]
        pictures = {"picture": CURVE, "words": None, "state": None}
        super().__init__("maker-buy", (self.sliders, *own), self._first_look, pictures, TABS, rows)
        for slider in (self.markup, self.margin):
            slider.watch(self._sell)
        self.tabs.observe(self._look_in, names="selected_index")
        if headless():
            self._fill_order()
            self._fill_prices()

    def stand(self, rows: list[Any], below: list[Any]) -> list[Any]:
        """As a screen does, with the counts that pay under the controls and a line over the tabs; what sets the selling
        prices stands above them.
        """
        self._pictures = ("picture",)
        *above, tabs = super().stand(rows, [*below, self.widget("words")])
        selling = self._inside(SELL)
        selling.children = (self.markup.row, self.margin.row, *selling.children)
        self._inside(REPORT).children = (report_button(lambda: self.view.plan, self.upto),)
        return [*above, self.widget("state"), tabs]

    def wait(self, seconds: float = 60.0) -> bool:
        """Wait for the background; true once nothing is under way."""
        end = monotonic() + seconds
        while self._worker is not None and self._worker.is_alive() and monotonic() < end:
            self._worker.join(0.05)
        return self._worker is None or not self._worker.is_alive()

    def _inside(self, title: str) -> Any:
        """What stands in a tab."""
        return self.tabs.children[list(TABS).index(title)]

    def _open(self, title: str) -> bool:
        return headless() or self.tabs.selected_index == list(TABS).index(title)

    def _first_look(self) -> Shown:
        self._turn += 1
        self._bought, self._done = None, frozenset()
        plan = self.sliders.plan(batches=self.count.value)
        view = self._same_curve(plan) or curve_view(
            plan, self.upto, solver=self._solvers.of(plan), seconds=FIRST_LOOK_S, close=False
        )
        self.view = view.with_own_time(self._own_time)
        self.show({**self._curve(), "stops": stops_banner(plan.findings)})
        self._start(REST_S)
        return {}

    @property
    def _own_time(self) -> Fraction:
        return shown.own_time_of(self.minutes.value, self.rate.value)

    def _same_curve(self, plan: Plan) -> CurveView | None:
        """The curve that is shown, where it is proved and what moved changes nothing that is bought."""
        if self.view is None or self.view.curve.open_counts:
            return None
        was = self.view.plan
        same = (was.recipe.name, was.batch_size, was.needs) == (plan.recipe.name, plan.batch_size, plan.needs)
        return replace(self.view, plan=plan, mark=plan.containers) if same else None

    def _curve(self) -> Shown:
        """The curve with what is said of it."""
        view = self.view
        said = {"answer": answer(shown.curve_answer(view)), "words": shown.pays_sheet(view), "state": self._state()}
        return {"picture": view, **said}

    def _state(self) -> str:
        """How far the curve is proved, and what the tabs are of."""
        plan, open_ = self.view.plan, len(self.view.curve.open_counts)
        told = f"{open_} counts are not proved yet: what is crossed." if open_ else "Every count is proved."
        now = f"{plan.recipe.title}, {counted(plan.containers)}"
        if self._bought is not None:
            return sentence(f"{told} Below: {now}.")
        late = f"; until then what was worked out for {self._of}" if self._of else ""
        return sentence(f"{told} Below, in a moment: {now}{late}.")

    def _start(self, rest_s: float = 0.0) -> None:
        """Work out what is open and not there yet: behind the picture, or at once where nobody is looking."""
        turn, plan = self._turn, self.view.plan
        if headless():
            self._settle(turn, plan)
            return
        self._worker = threading.Thread(target=self._in_background, args=(turn, plan, rest_s), daemon=True)
        self._worker.start()

    def _look_in(self, *_: Any) -> None:
        """A tab was opened: work out what it needs."""
        if self._open(ORDER):
            self._fill_order()
        if self._open(PRICES):
            self._fill_prices()
        if not headless() and self.view is not None and not self.fault.value:
            self._start()

    def _fill_order(self) -> None:
        inside = self._inside(ORDER)
        if not inside.children:
            inside.children = (combined_order_panel(self.workshop, self._together, self.view and self.view.plan),)

    def _fill_prices(self) -> None:
        """What stands in the tab of the maker's own prices, of the plan that is shown."""
        inside = self._inside(PRICES)
        if self.view is not None and not inside.children:
            inside.children = (OwnPrices(self.view.plan, self._priced_anew),)
        elif self.view is not None:
            inside.children[0].of(self.view.plan)

    def _priced_anew(self, workshop: Workshop) -> None:
        """A price was saved: everything is worked out with the tables as they are now."""
        self.workshop = self.sliders.workshop = workshop
        self._solvers, self.view = Solvers(), None
        self._inside(ORDER).children = ()
        self.redraw()
        self._fill_prices()

    def _in_background(self, turn: int, plan: Plan, rest_s: float) -> None:
        sleep(rest_s)
        try:
            with self._at_work:
                self._settle(turn, plan)
        except MakerKitError as error:
            self._say_last(turn, sentence(str(error)))
        except BaseException:
            self._say_last(turn, sentence(FAILED))
            raise

    def _say_last(self, turn: int, words: str) -> None:
        """Say in every tab what is wrong."""
        if turn == self._turn:
            self.show({"basket": words, "stack": None, "parts": words, "bars": None, "moves": words, "selling": words})

    def _settle(self, turn: int, plan: Plan) -> None:
        """Close the counts that are open, settle the list of the count looked at, then what the open tab shows."""

        def moved_on() -> bool:
            return turn != self._turn

        if moved_on() or self.view is None:
            return
        if self._bought is None:
            self._buy(plan, moved_on)
        bought = self._bought
        for title, work in ((LIST, self._reasons), (MOVES, self._moves)):
            if moved_on() or bought is None:
                return
            if self._open(title) and title not in self._done:
                result = work(bought, moved_on)
                if moved_on():
                    return
                self._done |= {title}
                self.show(result)

    def _buy(self, plan: Plan, moved_on: Callable[[], bool]) -> None:
        """The curve to its end, the settled list, and all that follows from it at once."""
        view = self.view
        if view.curve.open_counts or (not view.unit_dear and not plan.market.delivery_known):
            view = curve_view(plan, self.upto, solver=self._solvers.of(plan), cancelled=moved_on)
            if moved_on():
                return
            self.view = view.with_own_time(self._own_time)
            self.show(self._curve())
        bought = purchase(plan)
        view = settled_view(self.view, bought)
        parts = shown.breakdown_of(bought, self.minutes.value, self.rate.value)
        notes = findings_sheet(f for f in plan.findings if f.topic in BESIDE)
        list_html = as_html((shown.shopping_sheet(bought), shown.leftovers_sheet(bought), notes))
        if moved_on():
            return
        self.view, self._bought, self._of = view, bought, f"{plan.recipe.title}, {counted(plan.containers)}"
        self._list_html = list_html
        self.show(
            {
                "state": self._state(),
                "basket": list_html,
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

    def _reasons(self, bought: Purchase, moved_on: Callable[[], bool]) -> Shown:
        """Why this list, and where something new begins along the curve."""
        if not headless():
            sleep(REASONS_REST_S)
        if moved_on():
            return {}
        more = [shown.reasons_sheet(bought.reasons()), shown.marks_sheet(self.view.marks)]
        if not bought.plan.market.delivery_known:
            more.append(shown.delivery_sheet(delivery_band(bought.plan, self.upto, own_batch_micros=self._own_time)))
        return {"basket": as_html((self._list_html, *more))}

    def _moves(self, bought: Purchase, moved_on: Callable[[], bool]) -> Shown:
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


@once_begun
def make_or_buy_panel(workshop: Workshop, recipe: str = "", **start: object) -> MakeOrBuyPanel:
    """A recipe's cost curve under its sliders; see `MakeOrBuyPanel` for what it can start with."""
    return MakeOrBuyPanel(workshop, recipe, **start)
