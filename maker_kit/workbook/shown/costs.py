"""What the notebooks call for everything beside the curve: parts of a cost, leftovers, marks, pilot, one order for several recipes, what moves the verdict, selling price."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pandas as pd

from maker_kit.plan.cost_breakdown import CostBreakdown, cost_parts
from maker_kit.plan.costs import CurveView, Purchase, shop_lines
from maker_kit.plan.delivery_band import DeliveryBand
from maker_kit.plan.leftovers import left_of, leftovers
from maker_kit.plan.marks import CurveMark
from maker_kit.plan.pilot import PilotChoice
from maker_kit.plan.plan import Plan
from maker_kit.plan.selling import selling_prices
from maker_kit.plan.sensitivity import Sensitivity
from maker_kit.workbook.charts import costs as charts_cost
from maker_kit.workbook.charts.picture import Picture, Still
from maker_kit.workbook.shown.sheets import Sheet, in_currency, money


def breakdown_of(bought: Purchase, minutes_per_batch: float = 0, hourly_rate: float = 0) -> CostBreakdown:
    """The cost of one container, stacked; own minutes [min a batch] at an hourly rate [currency] are off unless both are given."""
    return cost_parts(bought, minutes_per_batch=minutes_per_batch, hourly_rate_cents=100 * hourly_rate)


def cost_breakdown_sheet(bought: Purchase, parts: CostBreakdown) -> Sheet:
    """Each part of the cost, for one container and for all."""
    return Sheet(
        in_currency(parts.to_frame(), ("one container", "all"), bought.plan.workshop.settings.currency), left=("part",)
    )


def cost_breakdown_picture(bought: Purchase, parts: CostBreakdown) -> Still:
    """One container, part by part, beside the shop's prices."""
    shown = (parts, shop_lines(bought.plan.workshop, bought.plan.recipe), bought.plan.workshop.settings.currency)
    words = "; ".join(f"{name} {money(amount)}" for name, amount in parts.parts)
    return Still(
        Picture(charts_cost.draw_cost_breakdown, 9.4, charts_cost.cost_breakdown_height).png(shown),
        f"one container: {words}",
    )


def leftovers_sheet(bought: Purchase) -> Sheet:
    """What stays over, its value, and what of it will expire unused."""
    return Sheet(
        in_currency(leftovers(bought).to_frame(), ("value", "value of that"), bought.plan.workshop.settings.currency),
        left=("item", "will expire unused"),
    )


def count_sheet(view: CurveView, batches: int) -> Sheet:
    """One count of the curve: what you pay, what it used up, and used plus what will expire unused; for one container, and in all."""
    point = view.curve.at(batches)
    expiring = (
        None
        if point.basket is None or not point.proved
        else left_of(view.plan, view.plan.market, batches, point.basket).used_plus_expiring_micros
    )
    size = view.containers[batches - 1]
    low, high = point.lower_micros, point.upper_micros
    rows = [
        ("what you pay", point.cost_micros),
        ("what was used up", point.used_cost_micros),
        ("used up, and what will expire unused", expiring),
    ]
    table = [
        {
            "": name,
            f"one container [{view.currency}]": money(None if cost is None else Fraction(cost, size)),
            f"{size} in all [{view.currency}]": money(cost),
        }
        for name, cost in rows
    ]
    if not point.proved and low is not None and high is not None:
        table[0][f"one container [{view.currency}]"] = f"{money(Fraction(low, size))} to {money(Fraction(high, size))}"
        table[0][f"{size} in all [{view.currency}]"] = f"{money(low)} to {money(high)}, not proved yet"
    return Sheet(pd.DataFrame(table), left=("",))


def marks_sheet(marks: Sequence[CurveMark]) -> Sheet:
    """Where a larger pack, a supplier or free delivery begins."""
    rows = [{"from this count of batches": str(mark.count), "begins": mark.words} for mark in marks]
    return Sheet(
        pd.DataFrame(rows or [{"from this count of batches": "–", "begins": "nothing new begins along this curve"}]),
        left=("begins",),
    )


def band_sheet(band: DeliveryBand) -> Sheet:
    """What the curve says of each shop price where delivery is known only as low to high."""
    words = [line.words for line in band.lines] or ["no shop price is on file"]
    if band.known:
        words = ["Every delivery is known to the cent, so what is said above holds as it stands."]
    return Sheet(pd.DataFrame({"delivery from low to high": words}), left=("delivery from low to high",))


def pilot_sheet(plan: Plan, choice: PilotChoice) -> Sheet:
    """The cheapest pilot beside the cheapest batch."""
    frame = choice.to_frame()
    frame["grams"] = [("" if pd.isna(grams) else f"{grams:.1f}") for grams in frame["grams"]]
    frame["containers"] = [("" if not count else str(count)) for count in frame["containers"]]
    frame = in_currency(frame, ("you pay", "for one container"), plan.workshop.settings.currency)
    return Sheet(frame.rename(columns={"grams": "mass [g]"}), left=("what",))


def sensitivity_sheet(plan: Plan, moves: Sensitivity) -> Sheet:
    """What moves the verdict, as a table."""
    return Sheet(
        in_currency(
            moves.to_frame(), ("one container, low", "one container, high", "spread"), plan.workshop.settings.currency
        ),
        left=("input", "note"),
    )


def sensitivity_picture(plan: Plan, moves: Sensitivity) -> Still:
    """What moves the verdict, as bars."""
    words = "; ".join(
        f"{bar.name}: {money(bar.low.each_micros)} to {money(bar.high.each_micros)}" for bar in moves.bars[:6]
    )
    return Still(
        Picture(charts_cost.draw_sensitivity, 9.4, charts_cost.sensitivity_height).png(
            (moves, plan.workshop.settings.currency)
        ),
        f"one container at the low and the high end: {words}",
    )


def selling_sheet(bought: Purchase, markup_percent: float, margin_percent: float) -> Sheet:
    """Selling prices of one container: the floor, by mark-up and by margin, named apart."""
    prices = selling_prices(
        bought.unit_cash_micros / 1_000_000, markup_percent=markup_percent, margin_percent=margin_percent
    )
    frame = prices.to_frame()
    amounts = tuple(frame.columns[1:3])
    return Sheet(in_currency(frame, amounts, bought.plan.workshop.settings.currency), left=(str(frame.columns[0]),))
