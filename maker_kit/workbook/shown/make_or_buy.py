"""What making costs beside the shop: the counts that pay, the shopping list, one container part by part, leftovers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from functools import wraps
from typing import Any, TypeVar

import pandas as pd

from maker_kit.buying.invented import invented_in_list
from maker_kit.buying.own_time import own_time_micros
from maker_kit.formula.batch import counted
from maker_kit.plan.cost_breakdown import CostBreakdown, cost_parts
from maker_kit.plan.costs import CurveView
from maker_kit.plan.delivery_band import DeliveryBand
from maker_kit.plan.marks import CurveMark, ShopLine, shop_lines
from maker_kit.plan.pilot import PilotChoice
from maker_kit.plan.plan import Plan, Unpriced
from maker_kit.plan.selling import selling_prices
from maker_kit.plan.sensitivity import Sensitivity
from maker_kit.plan.shopping.leftovers import left_of, leftovers
from maker_kit.plan.shopping.purchases import Purchase
from maker_kit.units import exact_number
from maker_kit.workbook.amounts import money
from maker_kit.workbook.charts.cost_breakdown import BREAKDOWN, SENSITIVITY
from maker_kit.workbook.charts.make_or_buy import CURVE, Costed, Moved, runs_in_containers
from maker_kit.workbook.charts.picture import Still
from maker_kit.workbook.shown.counts import counts_in_words
from maker_kit.workbook.shown.sheets import Sheet, in_currency, words_sheet

T = TypeVar("T")

MICROS = 10_000
"""In a cent."""


def or_why(show: Callable[..., T]) -> Callable[..., T | Sheet]:
    """What is shown of the cost, or the sentence why it is unknown, where `Unpriced` is to be shown."""

    @wraps(show)
    def shown(*what: Any, **more: Any) -> T | Sheet:
        missing = next((thing for thing in what if isinstance(thing, Unpriced)), None)
        return show(*what, **more) if missing is None else words_sheet("what it costs", missing.why)

    return shown


def _currency(plan: Plan) -> str:
    return plan.workshop.settings.currency


@or_why
def counts_sheet(view: CurveView) -> Sheet:
    """For each shop price, all counts at which making is known to cost no more, and those of which that is not known
    yet, up to the largest that was looked at; of containers where a batch holds several.
    """
    last, size = view.containers[-1], view.plan.batch_size
    steps = f"in whole batches of {size}, " if size > 1 else ""
    price, pays = f"one container [{view.currency}]", f"counts of containers that pay, {steps}up to {last}"
    rows = [
        (line.name, f"{line.price:.2f}", counts_in_words(*runs_in_containers(view, line)) or f"none up to {last}")
        for line in view.shop_lines
    ]
    return Sheet(rows or [("none on file", "–", "–")], ("shop price", pays), columns=["shop price", price, pays])


def pays_sheet(view: CurveView) -> Sheet:
    """As `counts_sheet`, in as little room as there is beside a picture."""
    full = counts_sheet(view)
    size, last = view.plan.batch_size, view.containers[-1]
    batches = f", batches of {size}" if size > 1 else ""
    names = [f"in the shop [{view.currency}]", f"counts that pay, to {last}{batches}"]
    return Sheet([(f"{name}: {price}", pays) for name, price, pays in full.rows], columns=names)


@or_why
def curve_picture(view: CurveView) -> Still:
    """The saw curve, as a picture with its numbers as words."""
    return CURVE.still(view)


@or_why
def count_sheet(view: CurveView, batches: int) -> Sheet:
    """One count of the curve, for one container and in all: paid, used up, and used up plus what will expire unused."""
    point, size = view.curve.at(batches), view.containers[batches - 1]
    bounds = point.lower_micros, point.upper_micros
    expiring = None
    if point.basket is not None and point.proved:
        expiring = left_of(view.plan, view.plan.market, batches, point.basket).used_plus_expiring_micros
    paid, own = point.cost_micros, view.own_batch_micros * batches
    costs = {"what you pay": paid}
    if own:
        costs |= {"your own time": own, "what you pay and your own time": None if paid is None else paid + own}
    costs |= {"what was used up": point.used_cost_micros, "used up, and what will expire unused": expiring}
    rows = [(name, money(None if cost is None else Fraction(cost) / size), money(cost)) for name, cost in costs.items()]
    if not point.proved and None not in bounds:
        each, whole = (" to ".join(money(Fraction(end, n)) for end in bounds) for n in (size, 1))
        rows[0] = ("what you pay", each, f"{whole}, not proved yet")
    heads = ["", f"one container [{view.currency}]", f"{size} in all [{view.currency}]"]
    return Sheet(rows, ("",), columns=heads)


def marks_sheet(marks: Sequence[CurveMark]) -> Sheet:
    """Where a larger pack, a supplier or free delivery begins."""
    rows = [(mark.count, mark.words) for mark in marks] or [("–", "nothing new begins along this curve")]
    return Sheet(rows, ("begins",), columns=["from this count of batches", "begins"])


@or_why
def delivery_sheet(between: DeliveryBand) -> Sheet:
    """What the curve says of each shop price where delivery is known only as low to high."""
    words = [line.words for line in between.lines] or ["no shop price is on file"]
    if between.known:
        words = ["Every delivery is known to the cent, so what is said above holds as it stands."]
    return words_sheet("delivery from low to high", *words)


@or_why
def shopping_sheet(bought: Purchase) -> Sheet:
    """The shopping list, supplier by supplier, with fees and the total."""
    list_ = bought.basket.to_frame()
    if invented := invented_in_list(bought.plan.market, bought.basket).words():
        list_.loc[len(list_)] = ["", f"▲ {invented}: write your own over them", "", "", ""]
    return in_currency(list_, ("price each", "cost"), _currency(bought.plan), ("supplier", "pack"))


@or_why
def reasons_sheet(reasons: Iterable[str] | Unpriced) -> Sheet:
    """Why the shopping list is what it is, in words."""
    return words_sheet(
        "why this list", *(tuple(reasons) or ("nothing unusual: the smallest packs that cover the need",))
    )


@or_why
def leftovers_sheet(bought: Purchase) -> Sheet:
    """What stays over, its value, and what of it will expire unused."""
    left = leftovers(bought).to_frame()
    return in_currency(left, ("value", "value of that"), _currency(bought.plan), ("item", "will expire unused"))


@or_why
def cost_sheet(bought: Purchase) -> Sheet:
    """What one container costs, beside every shop price for as much."""
    plan, recipe, currency = bought.plan, bought.plan.recipe, _currency(bought.plan)
    unit, fill = ("g", recipe.fill_mass_g) if recipe.sold_by_mass else ("mL", recipe.fill_ml)
    made = {
        f"made: what you pay ({counted(plan.containers)})": bought.unit_cash_micros,
        "made: what this batch used up": bought.unit_used_micros,
    }
    rows = [(name, money(each), money(round(float(each) * 100 / fill)), "") for name, each in made.items()]
    rows += [
        (
            f"shop: {line.name}",
            money(line.price_cents * MICROS),
            money(round(line.per_100_cents * MICROS)),
            _against(bought, line),
        )
        for line in shop_lines(plan.workshop, recipe)
    ]
    heads = ["", f"one container [{currency}]", f"100 {unit} [{currency}]", "paid against this"]
    return Sheet(rows, ("", "paid against this"), columns=heads)


def _against(bought: Purchase, line: ShopLine) -> str:
    gap = line.price_cents * MICROS - bought.unit_cash_micros
    return f"{money(abs(gap))} {'less' if gap > 0 else 'more'} a container" if gap else "the same"


@or_why
def breakdown_of(bought: Purchase, minutes_per_batch: float = 0, hourly_rate: float = 0) -> CostBreakdown:
    """The cost of one container, part by part.

    Own minutes [min a batch] at an hourly rate [currency] are off unless both are given.
    """
    return cost_parts(bought, minutes_per_batch=minutes_per_batch, hourly_rate_cents=100 * hourly_rate)


@or_why
def breakdown_sheet(bought: Purchase, parts: CostBreakdown) -> Sheet:
    """Each part of the cost, for one container and for all."""
    return in_currency(parts.to_frame(), ("one container", "all"), _currency(bought.plan), ("part",))


@or_why
def breakdown_picture(bought: Purchase, parts: CostBreakdown) -> Still:
    """One container, part by part, beside the shop's prices."""
    return BREAKDOWN.still(breakdown_shown(bought, parts))


def breakdown_shown(bought: Purchase, parts: CostBreakdown) -> Costed:
    """What is drawn of one container, part by part."""
    plan = bought.plan
    return parts, shop_lines(plan.workshop, plan.recipe), _currency(plan), plan.recipe.title


@or_why
def pilot_sheet(plan: Plan, choice: PilotChoice) -> Sheet:
    """The cheapest pilot beside the cheapest batch."""
    frame = choice.to_frame()
    frame["grams"] = ["" if pd.isna(grams) else f"{grams:.1f}" for grams in frame["grams"]]
    frame["containers"] = [str(count or "") for count in frame["containers"]]
    frame = frame.rename(columns={"grams": "mass [g]"})
    return in_currency(frame, ("you pay", "for one container"), _currency(plan), ("what",))


@or_why
def sensitivity_sheet(plan: Plan, moves: Sensitivity) -> Sheet:
    """What moves the verdict, as a table."""
    amounts = ("one container, low", "one container, high", "spread")
    return in_currency(moves.to_frame(), amounts, _currency(plan), ("input", "note"))


@or_why
def sensitivity_picture(plan: Plan, moves: Sensitivity) -> Still:
    """What moves the verdict, as bars."""
    return SENSITIVITY.still(sensitivity_shown(plan, moves))


def sensitivity_shown(plan: Plan, moves: Sensitivity) -> Moved:
    """What is drawn of what moves the verdict."""
    return moves, _currency(plan), plan.recipe.title


def own_time_of(minutes_per_batch: float = 0, hourly_rate: float = 0) -> Fraction:
    """Own time for one batch [0.0001 cent] from minutes and what an hour is worth [currency]; 0 without both."""
    return own_time_micros(minutes_per_batch, exact_number(hourly_rate, "the hourly rate") * 100)


@or_why
def selling_sheet(
    bought: Purchase, markup_percent: float, margin_percent: float, own_batch_micros: Fraction | int = 0
) -> Sheet:
    """Selling prices of one container: the floor, by mark-up and by margin, named apart; own time for one batch
    [0.0001 cent] is a cost among the others.
    """
    plan = bought.plan
    each = (bought.cash_micros + Fraction(own_batch_micros) * plan.batches) / plan.containers / 1_000_000
    frame = selling_prices(each, markup_percent=markup_percent, margin_percent=margin_percent).to_frame()
    name, *amounts = frame.columns[:3]
    if own_batch_micros:
        frame.loc[0, name] = "floor: what one costs, your own time included"
    return in_currency(frame, amounts, _currency(bought.plan), (name,))
