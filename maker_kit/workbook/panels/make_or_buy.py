"""The cost curve of a recipe, live under its sliders, and a slider that reads any count of it: costs, parts, shopping list, leftovers, reasons."""

from __future__ import annotations

import threading
from dataclasses import replace
from time import monotonic, sleep

import ipywidgets as w

from maker_kit.errors import MakerKitError
from maker_kit.plan.costs import CurveView, Solvers, curve_view, purchase, settled_view
from maker_kit.plan.delivery_band import delivery_band
from maker_kit.plan.plan import Plan
from maker_kit.workbook.charts import costs as charts_cost
from maker_kit.workbook.charts import curve_and_limits as charts
from maker_kit.workbook.charts.picture import Picture
from maker_kit.workbook.panels.controls import Level, PictureBox, cleared, guarded, headless, sentence, text_box
from maker_kit.workbook.panels.levels import Levels
from maker_kit.workbook.shown import costs as show_costs
from maker_kit.workbook.shown import show
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workshop import Workshop

FIRST_LOOK_S = 0.035
"""How long the curve may take before it is drawn, with a band where a count is not proved yet [s]."""

REST_S = 0.12
"""How long the controls must rest before the background starts, so that it does not slow down a slider that is being dragged [s]."""

REASONS_REST_S = 0.8
"""How long the controls must rest before the reasons are worked out, which takes longest of all [s]."""


class MakeOrBuyPanel(w.VBox):
    """A choice of recipe, sliders for its levels, its whole curve redrawn live, and one count read from it.

    The picture and the numbers beside it come at once; what takes longer (counts not proved yet, the settled shopping list and its reasons) follows from the background and is dropped as soon as a
    control moves again.

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
        self._solvers, self._turn, self._quiet = Solvers(), 0, False
        self._worker: threading.Thread | None = None
        self.levels = Levels(workshop, recipe, batch_size)
        self.count = Level("count looked at", "batches from one order", min(batches, upto), 1, upto, 1, whole=True)
        self.minutes = Level(
            "own minutes", "minutes a batch; 0 leaves them out", minutes_per_batch, 0, max(240.0, minutes_per_batch), 5
        )
        self.rate = Level(
            "an hour is worth",
            f"{workshop.settings.currency}; 0 leaves it out",
            hourly_rate,
            0,
            max(60.0, hourly_rate),
            1,
        )
        for level, name in ((self.count, "maker-count"), (self.minutes, "maker-minutes"), (self.rate, "maker-rate")):
            level.row.add_class(name)
        self.fault, self.state, self.words, self.basket = (
            text_box(f"maker-buy-{name}") for name in ("fault", "state", "words", "basket")
        )
        self.picture = PictureBox(Picture(charts.draw_curve, 9.4, charts.curve_height), "maker-buy-picture")
        self.stack = PictureBox(
            Picture(charts_cost.draw_cost_breakdown, 9.4, charts_cost.cost_breakdown_height), "maker-buy-stack"
        )
        self._redraw = guarded(
            cleared(self._show, (self.state, self.words, self.basket), (self.picture, self.stack)), self.fault
        )
        self._redraw()
        for level in (self.count, self.minutes, self.rate):
            level.watch(self._redraw)
        self.levels.watch(self._redraw)
        super().__init__(
            [
                *self.levels.rows,
                self.count.row,
                self.minutes.row,
                self.rate.row,
                self.fault,
                self.picture.image,
                self.state,
                self.words,
                self.stack.image,
                self.basket,
            ]
        )
        self.add_class("maker-make-or-buy")

    def wait(self, seconds: float = 60.0) -> bool:
        """Wait for the background; true once nothing is under way."""
        end = monotonic() + seconds
        while self._worker is not None and self._worker.is_alive() and monotonic() < end:
            self._worker.join(0.05)
        return self._worker is None or not self._worker.is_alive()

    def _show(self) -> None:
        self._turn += 1
        turn = self._turn
        plan = self.levels.plan(batches=int(self.count.value))
        self.view = self._same_curve(plan) or curve_view(
            plan, self.upto, solver=self._solvers.of(plan), seconds=FIRST_LOOK_S, close=False
        )
        self._draw(self.view)
        self.basket.value = sentence("The shopping list follows in a moment.")
        if headless():
            self._settle(turn, plan)
        else:
            self._worker = threading.Thread(target=self._in_background, args=(turn, plan), daemon=True)
            self._worker.start()

    def _same_curve(self, plan: Plan) -> CurveView | None:
        """The curve that is shown, where it is proved and a moved control left it as it is; only another count is looked at then."""
        if self.view is None or self.view.curve.open_counts:
            return None
        shown = self.view.plan
        same = (shown.recipe.name, shown.batch_size, shown.needs) == (plan.recipe.name, plan.batch_size, plan.needs)
        return replace(self.view, plan=plan, mark=plan.containers) if same else None

    def _draw(self, view: CurveView) -> None:
        open_counts = len(view.curve.open_counts)
        self.state.value = sentence(
            f"{open_counts} counts are not proved yet: they lie within the crossed band."
            if open_counts
            else "Every count is proved."
        )
        self.picture.show(view)
        self._say(view)

    def _say(self, view: CurveView) -> None:
        notes = [finding for finding in view.plan.findings if finding.topic in {"keeping", "clash", "avoid"}]
        self.words.value = (
            show.counts_sheet(view).html()
            + show_costs.count_sheet(view, view.plan.batches).html()
            + findings_sheet(notes).html()
        )

    def _in_background(self, turn: int, plan: Plan) -> None:
        sleep(REST_S)
        if turn != self._turn:
            return
        try:
            self._settle(turn, plan)
        except MakerKitError as error:
            if turn == self._turn:
                self.basket.value = sentence(str(error))
        except BaseException:
            if turn == self._turn:
                self.basket.value = sentence(
                    "The shopping list could not be worked out: something in the workbook itself failed. The curve above stands; please report it with your tables."
                )
            raise

    def _settle(self, turn: int, plan: Plan) -> None:
        """Close the counts that are still open, then settle the list of the count looked at, and say everything of that list."""

        def moved_on() -> bool:
            return turn != self._turn

        view = self.view
        if view is not None and (view.curve.open_counts or (not view.unit_dear and not plan.market.delivery_known)):
            view = curve_view(plan, self.upto, solver=self._solvers.of(plan), cancelled=moved_on)
            if not moved_on():
                self.view = view
                self._draw(view)
        if moved_on() or view is None:
            return
        bought = purchase(plan)
        view, parts = settled_view(view, bought), show_costs.breakdown_of(bought, self.minutes.value, self.rate.value)
        if moved_on():
            return
        self.view = view
        self._say(view)
        self.stack.show((parts, view.shop_lines, self.workshop.settings.currency))
        self.basket.value = (
            show.shopping_sheet(bought).html()
            + show_costs.cost_breakdown_sheet(bought, parts).html()
            + show_costs.leftovers_sheet(bought).html()
        )
        if not headless():
            sleep(REASONS_REST_S)
        if moved_on():
            return
        more = show.reasons_sheet(bought).html() + show_costs.marks_sheet(view.marks).html()
        if not plan.market.delivery_known:
            more += show_costs.band_sheet(delivery_band(plan, self.upto)).html()
        if not moved_on():
            self.basket.value += more


def make_or_buy_panel(workshop: Workshop, recipe: str, **start: object) -> MakeOrBuyPanel:
    """A recipe's cost curve under its sliders; see `MakeOrBuyPanel` for what it can start with."""
    return MakeOrBuyPanel(workshop, recipe, **start)  # type: ignore[arg-type]
