"""The cost curve of a recipe, live under its sliders, and a slider that reads any count of it."""

from __future__ import annotations

import threading
from dataclasses import replace
from time import monotonic, sleep

from maker_kit.errors import MakerKitError
from maker_kit.plan.costs import CurveView, Solvers, curve_view, purchase, settled_view
from maker_kit.plan.delivery_band import delivery_band
from maker_kit.plan.plan import Plan
from maker_kit.workbook.charts.make_or_buy import BREAKDOWN, CURVE
from maker_kit.workbook.panels.call import CallPanel, Shown, as_html
from maker_kit.workbook.panels.controls import counter, sentence, slider_to
from maker_kit.workbook.panels.recipe_sliders import RecipeSliders
from maker_kit.workbook.shown import make_or_buy as shown
from maker_kit.workbook.shown.sentences import headless
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workshop import Workshop

FIRST_LOOK_S = 0.035
"""How long the curve may take before it is drawn, with crosses where a count is not proved yet [s]."""

REST_S = 0.12
"""How long the controls must rest before the background starts, so that no slider that is dragged slows down [s]."""

REASONS_REST_S = 0.8
"""How long the controls must rest before the reasons are worked out, which takes longest of all [s]."""

PLACES = {"picture": CURVE, "state": None, "words": None, "stack": BREAKDOWN, "basket": None}
BESIDE = {"keeping", "clash", "avoid"}
"""Topics of the notes that stand beside the curve."""
FAILED = (
    "The shopping list could not be worked out: something in the workbook itself failed. The curve above stands; "
    "please report it with your tables."
)


class MakeOrBuyPanel(CallPanel):
    """A choice of recipe, sliders for its levels, its whole curve redrawn live, and one count read from it.

    The picture and the numbers beside it come at once; what takes longer (counts not proved yet, the settled shopping
    list and its reasons) follows from the background and is dropped as soon as a control moves again.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Which recipe is shown first.
    batch_size, batches, upto : int
        Containers in one batch, count looked at first, largest count of the curve.
    minutes_per_batch, hourly_rate : float
        Own minutes [min] and what an hour is worth [currency]; not counted where either is 0.
    """

    def __init__(
        self,
        workshop: Workshop,
        recipe: str,
        batch_size: int = 1,
        batches: int = 12,
        upto: int = 48,
        minutes_per_batch: float = 0,
        hourly_rate: float = 0,
    ) -> None:
        self.workshop, self.upto = workshop, upto
        self.view: CurveView | None = None
        self._solvers, self._turn = Solvers(), 0
        self._worker: threading.Thread | None = None
        self.sliders = RecipeSliders(workshop, recipe, batch_size)
        self.count = counter("count looked at", "batches from one order", min(batches, upto), upto, css="maker-count")
        leave_out = "minutes a batch; 0 leaves them out", f"{workshop.settings.currency}; 0 leaves it out"
        self.minutes = slider_to(240.0, "own minutes", leave_out[0], minutes_per_batch, 0, 5, css="maker-minutes")
        self.rate = slider_to(60.0, "an hour is worth", leave_out[1], hourly_rate, 0, 1, css="maker-rate")
        super().__init__("maker-buy", (self.sliders, self.count, self.minutes, self.rate), self._first_look, PLACES)

    def wait(self, seconds: float = 60.0) -> bool:
        """Wait for the background; true once nothing is under way."""
        end = monotonic() + seconds
        while self._worker is not None and self._worker.is_alive() and monotonic() < end:
            self._worker.join(0.05)
        return self._worker is None or not self._worker.is_alive()

    def _first_look(self) -> Shown:
        self._turn += 1
        plan = self.sliders.plan(batches=self.count.value)
        solver = self._solvers.of(plan)
        self.view = self._same_curve(plan) or curve_view(
            plan, self.upto, solver=solver, seconds=FIRST_LOOK_S, close=False
        )
        self.show({**self._curve(), "basket": sentence("The shopping list follows in a moment.")})
        if headless():
            self._settle(self._turn, plan)
        else:
            self._worker = threading.Thread(target=self._in_background, args=(self._turn, plan), daemon=True)
            self._worker.start()
        return {}

    def _same_curve(self, plan: Plan) -> CurveView | None:
        """The curve that is shown, where it is proved and a moved control changed nothing but the count looked at."""
        if self.view is None or self.view.curve.open_counts:
            return None
        shown = self.view.plan
        same = (shown.recipe.name, shown.batch_size, shown.needs) == (plan.recipe.name, plan.batch_size, plan.needs)
        return replace(self.view, plan=plan, mark=plan.containers) if same else None

    def _curve(self) -> Shown:
        """The curve with what is said of it."""
        open_ = len(self.view.curve.open_counts)
        told = (
            f"{open_} counts are not proved yet: they lie within what is crossed."
            if open_
            else "Every count is proved."
        )
        return {"state": sentence(told), "picture": self.view, **self._beside()}

    def _beside(self) -> Shown:
        view = self.view
        notes = findings_sheet(f for f in view.plan.findings if f.topic in BESIDE)
        return {"words": (shown.counts_sheet(view), shown.count_sheet(view, view.plan.batches), notes)}

    def _in_background(self, turn: int, plan: Plan) -> None:
        sleep(REST_S)
        try:
            self._settle(turn, plan)
        except MakerKitError as error:
            self._say_last(turn, sentence(str(error)))
        except BaseException:
            self._say_last(turn, sentence(FAILED))
            raise

    def _say_last(self, turn: int, words: str) -> None:
        if turn == self._turn:
            self.show({"basket": words})

    def _settle(self, turn: int, plan: Plan) -> None:
        """Close the counts that are open, then settle the list of the count looked at, and say all of that list."""

        def moved_on() -> bool:
            return turn != self._turn

        view = self.view
        if moved_on() or view is None:
            return
        if view.curve.open_counts or (not view.unit_dear and not plan.market.delivery_known):
            view = curve_view(plan, self.upto, solver=self._solvers.of(plan), cancelled=moved_on)
            if moved_on():
                return
            self.view = view
            self.show(self._curve())
        bought = purchase(plan)
        view, parts = settled_view(view, bought), shown.breakdown_of(bought, self.minutes.value, self.rate.value)
        if moved_on():
            return
        self.view = view
        list_ = as_html(
            (shown.shopping_sheet(bought), shown.breakdown_sheet(bought, parts), shown.leftovers_sheet(bought))
        )
        stack = (parts, view.shop_lines, self.workshop.settings.currency)
        self.show({**self._beside(), "stack": stack, "basket": list_})
        if not headless():
            sleep(REASONS_REST_S)
        if moved_on():
            return
        more = [shown.reasons_sheet(bought.reasons()), shown.marks_sheet(view.marks)]
        if not plan.market.delivery_known:
            more.append(shown.delivery_sheet(delivery_band(plan, self.upto)))
        self._say_last(turn, as_html((list_, *more)))


def make_or_buy_panel(workshop: Workshop, recipe: str, **start: object) -> MakeOrBuyPanel:
    """A recipe's cost curve under its sliders; see `MakeOrBuyPanel` for what it can start with."""
    return MakeOrBuyPanel(workshop, recipe, **start)
