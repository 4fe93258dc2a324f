"""Make or buy on one screen: the cost curve under its sliders, the counts that pay, and in tabs what takes longer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from time import monotonic
from typing import Any

from maker_kit.buying.costing import CostCurve, with_ties_settled
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.stopping import Asked
from maker_kit.errors import MakerKitError
from maker_kit.formula.batch import counted
from maker_kit.plan.costs import CurveView, curve_view, purchase_of, settled_view
from maker_kit.plan.log.cupboard import CupboardList, cupboard_list, held, is_stocked
from maker_kit.plan.log.logged_ph import with_own_log
from maker_kit.plan.plan import Plan
from maker_kit.plan.shopping.purchases import Purchase, Solvers, purchase
from maker_kit.workbook.behind import Behind
from maker_kit.workbook.charts.make_or_buy import CURVE
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import SLIDER, counter, sentence, slider_to
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.panels.own.buy_tabs import LIST, MOVES, ORDER, PRICES, TABS, BuyTabs
from maker_kit.workbook.panels.own.cupboard import AskCupboard
from maker_kit.workbook.panels.recipe_sliders import RecipeSliders
from maker_kit.workbook.shown import make_or_buy as shown
from maker_kit.workbook.shown.counts import curve_answer, open_words
from maker_kit.workbook.shown.sentences import headless
from maker_kit.workshop import Workshop

FIRST_LOOK_S = 0.02
"""How long the curve may take before it is drawn, with crosses where a count is not proved yet [s]."""

REST_S = 0.12
"""How long the controls must rest before the background starts, so that no slider that is dragged slows down [s]."""

CLOSE_S = 60.0
"""How long the counts that are open may take to be proved, all together [s]; then it is said that they are not."""

DRAWN_EVERY_S = 1.5
"""How often the picture is drawn anew while counts are proved [s]; how many are open is said after every count."""

CLOSED, TIES = "closed", "ties"


class MakeOrBuyPanel(BuyTabs):
    """A choice of recipe, sliders for its levels, its whole curve redrawn live, and one count read from it.

    The picture and the counts that pay, as far as they are known, come at once. What takes longer follows from the
    background, as far as its tab is open, and is dropped as soon as a control moves again: first the shopping list of
    the count looked at and its reasons, then the counts that are not proved yet, then what moves the verdict. What
    stands in an open tab stays until the new is there; a line says what it is of.

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
    cupboard : bool, optional
        Whether the cupboard is asked first; None where the maker's own bench log has stock.

    Notes
    -----
    With the cupboard asked first, the curve, the list and the answer say what is still to be paid; all that is of what
    one container is worth (part by part, what moves it, selling) stays as without.
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
        cupboard: bool | None = None,
    ) -> None:
        self.workshop, self.upto, self._together = workshop, upto, together
        self.view: CurveView | None = None
        self._solvers, self._behind = Solvers(), Behind(self._settle, self._say_last)
        self.cupboard = AskCupboard(workshop, cupboard)
        self._listed: CupboardList | None = None
        self._searched: CostCurve | None = None
        self._drawn = 0.0
        self._bought: Purchase | None = None
        self._list_html, self._done, self._of = "", frozenset(), ""
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
        rows = [self.sliders.recipe, *(slider.row for slider in (*of_recipe, *own)), self.cupboard.tick]
        own = (*own, self.cupboard.tick)
        pictures = {"picture": CURVE, "words": None, "state": None}
        super().__init__("maker-buy", (self.sliders, *own), self._first_look, pictures, TABS, rows)
        for slider in (self.markup, self.margin):
            slider.watch(self._sell)
        self.tabs.observe(self._look_in, names="selected_index")
        if headless():
            self._fill_order()
            self._fill_prices()

    def wait(self, seconds: float = 60.0) -> bool:
        """Wait for the background; true once nothing is under way."""
        return self._behind.wait(seconds)

    def _first_look(self) -> Shown:
        self._behind.moves_on()
        self._bought, self._listed, self._done = None, None, frozenset()
        plan = self.sliders.plan(batches=self.count.value)
        asked = self.cupboard.stocked(plan)
        view = self._same_curve(asked) or self._begun(asked)
        if asked is not plan:
            view = replace(view, without=(view.without and replace(view.without, plan=plan)) or self._begun(plan))
        if self.view is None or self.view.curve is not view.curve:
            self._searched = None
        self.view = view.with_own_time(self._own_time)
        self.show({**self._curve(), "stops": plan.findings})
        self._start(REST_S)
        return {}

    @property
    def plain(self) -> CurveView | None:
        """The curve without the cupboard; the one that is shown where it is not asked."""
        return self.view and (self.view.without or self.view)

    def _begun(self, plan: Plan) -> CurveView:
        return curve_view(plan, self.upto, solver=self._solver(plan), seconds=FIRST_LOOK_S, close=False)

    def _solver(self, plan: Plan) -> CurveSolver:
        """The solver for what a plan buys, with or without the cupboard."""
        return (self.cupboard.solvers if is_stocked(plan) else self._solvers).of(plan)

    def _same_curve(self, plan: Plan) -> CurveView | None:
        """The curve that is shown, where all that could be done at once is done and what moved changes nothing that is
        bought.
        """
        if self.view is None or (self.view.curve.open_counts and self._searched is None):
            return None
        was = self.view.plan
        same = (was.recipe.name, was.batch_size, was.needs) == (plan.recipe.name, plan.batch_size, plan.needs)
        same = same and held(was) == held(plan)
        return replace(self.view, plan=plan, mark=plan.containers) if same else None

    def _curve(self) -> Shown:
        """The curve with what is said of it."""
        view = self.view
        said = {"answer": curve_answer(view), "words": shown.pays_sheet(view), "state": self._state()}
        return {"picture": view, **said}

    def _state(self) -> str:
        """How far the curve is proved, and what the tabs are of."""
        plan, told = self.view.plan, open_words(self.view)
        now = f"{plan.recipe.title}, {counted(plan.containers)}"
        if self._bought is not None:
            return sentence(f"{told} Below: {now}.")
        late = f"; until then what was worked out for {self._of}" if self._of else ""
        return sentence(f"{told} Below, in a moment: {now}{late}.")

    def _start(self, rest_s: float = 0.0) -> None:
        """Work out what is open and not there yet: behind the picture, or at once where nobody is looking."""
        if headless():
            self._behind.here()
        else:
            self._behind.start(rest_s)

    def _look_in(self, *_: Any) -> None:
        """A tab was opened: work out what it needs, before the counts that nobody looks at."""
        if self._open(ORDER):
            self._fill_order()
        if self._open(PRICES):
            self._fill_prices()
        if not headless() and self.view is not None and not self.fault.value:
            self._start()

    def _settle(self, moved_on: Asked, called: Asked) -> None:
        """The list of the count looked at and, where its tab is open, its reasons; then the counts that are open, then
        what else the open tab shows, and last the ties. Another tab that is opened comes before the counts.
        """
        if self.view is None:
            return
        plan = self.view.plan
        fault = None if self._bought is not None else self._buy(moved_on)
        if self._open(LIST):
            self._once("reasons", self._reasons, moved_on)
        if not moved_on() and CLOSED not in self._done:
            self._close(plan, moved_on, called)
        if fault is not None and self._bought is None:
            raise fault
        if moved_on() or CLOSED not in self._done:
            return
        for title, work in ((LIST, self._beside_the_list), (MOVES, self._moves), (TIES, self._ties)):
            if title == TIES or self._open(title):
                self._once(title, work, called if title == TIES else moved_on)

    def _once(self, what: str, work: Callable[[Purchase, Asked], Shown], moved_on: Asked) -> None:
        """Show what some work gives, once, where there is a list."""
        bought = self._bought
        if bought is None or moved_on() or what in self._done:
            return
        result = work(bought, moved_on)
        with self.telling:
            if not moved_on():
                self._done |= {what}
                self.show(result)

    def _buy(self, moved_on: Asked) -> MakerKitError | None:
        """The settled list of the count looked at, and all that follows from it; or why there is none."""
        with self.telling:
            plan, asked, listed = self.plain.plan, self.view.plan, None
        try:
            bought = purchase(plan, cancelled=moved_on, solver=self._solver(plan))
            if asked is not plan:
                how = {"without": bought, "cancelled": moved_on, "solver": self._solver(asked)}
                listed = cupboard_list(plan, self.cupboard.there, **how)
        except MakerKitError as error:
            return error
        with self.telling:
            if not moved_on():
                without = listed and settled_view(self.view.without, bought)
                shown_list = listed.with_cupboard if listed else bought
                self.view = replace(settled_view(self.view, shown_list), without=without)
                self._listed = listed
                self._show_list(bought)
                self.show(self._curve())
        return None

    def _close(self, plan: Plan, moved_on: Asked, called: Asked) -> None:
        """The curve to its end, told and drawn while it gets there; what is known stays where it is called off."""
        with self.telling:
            known = not self.view.curve.open_counts and (self.view.unit_dear or plan.market.delivery_known)
            if moved_on() or known:
                self._done |= set() if moved_on() else {CLOSED}
                return
            without = self.view.without
            listed = self._listed.with_cupboard if self._listed else None if without else self._bought

        def seen(found: CurveView) -> None:
            with self.telling:
                if moved_on():
                    return
                self._searched = found.curve
                self.view = replace(found, without=self.view.without).with_own_time(self._own_time)
                self.show({"state": self._state()})
                if monotonic() - self._drawn > DRAWN_EVERY_S or not found.curve.open_counts:
                    self._draw()

        how = {"solver": self._solver(plan), "close_s": CLOSE_S, "bought": listed, "start": self._searched}
        view = curve_view(plan, self.upto, cancelled=called, seen=None if headless() else seen, settle=False, **how)
        if without is not None and not moved_on():  # what is used up is that of the curve without the cupboard
            how = {"solver": self._solver(without.plan), "close_s": CLOSE_S, "bought": self._bought}
            without = curve_view(without.plan, self.upto, cancelled=called, settle=False, **how)
        with self.telling:
            if moved_on():
                return
            self._searched, self.view = view.curve, replace(view, without=without).with_own_time(self._own_time)
            if not called():
                self._done |= {CLOSED}
                if self._bought is None and without is None and (found := purchase_of(self.view)) is not None:
                    self._show_list(found)
            self._draw()

    def _draw(self) -> None:
        self._drawn = monotonic()
        self.show(self._curve())

    def _ties(self, bought: Purchase, called: Asked) -> Shown:
        """The curve with the list of every count settled, so that it uses up what the list does."""
        how = {"first": (bought.plan.batches,), "seconds": CLOSE_S, "cancelled": called}
        curve = with_ties_settled(self.view.curve, self._solver(self.view.plan), **how)
        with self.telling:
            self.view = self.view if called() else replace(self.view, curve=curve)
            return {"picture": self.view}


@once_begun
def make_or_buy_panel(workshop: Workshop, recipe: str = "", **start: object) -> MakeOrBuyPanel:
    """A recipe's cost curve under its sliders; see `MakeOrBuyPanel` for what it can start with."""
    return MakeOrBuyPanel(with_own_log(workshop)[0], recipe, **start)
