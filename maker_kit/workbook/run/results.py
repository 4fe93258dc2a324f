"""What a costing report leaves for other programs: one JSON file and the curve as CSV."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from maker_kit.plan.costs import CurveView, Purchase
from maker_kit.plan.plan import Plan
from maker_kit.workbook.amounts import money

WEIGHED = ("phase", "ingredient", "percent", "mass_g", "weighed_g", "note")
NOTED = {
    name: "subject" if name == "substance" else name
    for name in (
        "kind",
        "code",
        "level",
        "topic",
        "substance",
        "found_percent",
        "limit_percent",
        "source",
        "text",
        "next_step",
    )
}
"""Columns of a note in the file, and what of a finding stands in them."""
COSTS = ("goods", "handling", "delivery", "tax", "total")


def amount(cost_micros: Any) -> float | None:
    """An amount of money as a number with two decimals; None stays None."""
    return None if cost_micros is None else float(money(cost_micros))


def result(plan: Plan, bought: Purchase, view: CurveView) -> dict[str, Any]:
    """The report's numbers, ready for JSON: masses in grams, levels in percent of the whole, money in the workshop's currency.

    Parameters
    ----------
    plan : Plan
    bought : Purchase
    view : CurveView

    Returns
    -------
    dict
    """
    return {
        "recipe": plan.recipe.name,
        "title": plan.recipe.title,
        "version": plan.recipe.version,
        "currency": plan.workshop.settings.currency,
        "batch_size": plan.batch_size,
        "batches": plan.batches,
        "containers": plan.containers,
        "batch_mass_g": round(plan.batch_mass_g, 6),
        "fragrance_load": plan.load_on_whole,
        "thickener_level": plan.thickener_level,
        "ph_read": plan.recipe.ph_read,
        "weigh_out": [
            {name: getattr(row, name) for name in WEIGHED} | {"mass_g": round(row.mass_g, 6)}
            for row in plan.weigh_out.rows
        ],
        "flags": [
            {name: getattr(f, source) for name, source in NOTED.items()} for f in (*plan.findings, *plan.cautions)
        ],
        "basket": [
            {
                "supplier": line.supplier,
                "pack": line.pack,
                "count": line.count,
                "cost": amount(line.goods_cents * 10_000),
            }
            for line in bought.basket.lines
        ],
        "orders": [
            {"supplier": order.supplier, **{cost: amount(getattr(order, f"{cost}_micros")) for cost in COSTS}}
            for order in bought.basket.orders
        ],
        "cash_cost": amount(bought.cash_micros),
        "used_cost": amount(bought.used_micros),
        "unit_cash_cost": amount(bought.unit_cash_micros),
        "unit_used_cost": amount(bought.unit_used_micros),
        "shop_prices": {line.name: amount(line.price_cents * 10_000) for line in view.shop_lines},
        "counts_that_pay": {line.name: [list(pair) for pair in line.pays] for line in view.shop_lines},
        "upto": view.curve.counts[-1],
    }


def write_results(plan: Plan, bought: Purchase, view: CurveView, folder: str) -> str:
    """Write ``RECIPE.json`` and ``RECIPE-curve.csv`` into a folder.

    Parameters
    ----------
    plan : Plan
    bought : Purchase
    view : CurveView
    folder : str
        Where to write; nothing is written where it is empty.

    Returns
    -------
    str
        What was written, in words.
    """
    if not folder:
        return "nothing is written when the notebook is run by hand"
    place, name = Path(folder), plan.recipe.name
    (place / f"{name}.json").write_text(
        json.dumps(result(plan, bought, view), ensure_ascii=False, indent=1, allow_nan=False) + "\n", encoding="utf-8"
    )
    frame = view.curve.to_frame()
    for column in ("cash_cost", "unit_cash_cost", "used_cost", "unit_used_cost"):
        frame[column] = [money(value) if value is not None else "" for value in curve_columns(view)[column]]
    frame.to_csv(place / f"{name}-curve.csv", index=False)
    return f"the numbers are in {name}.json and {name}-curve.csv, beside this page"


def curve_columns(view: CurveView) -> dict[str, list[Any]]:
    """The curve's money columns in ten-thousandths of a cent; None where there is no basket."""
    from fractions import Fraction

    cash, used, boxes = view.curve.cost_micros, view.curve.used_cost_micros, view.containers
    return {
        "cash_cost": list(cash),
        "unit_cash_cost": [None if c is None else Fraction(c, n) for c, n in zip(cash, boxes, strict=True)],
        "used_cost": list(used),
        "unit_used_cost": [None if u is None else Fraction(u, n) for u, n in zip(used, boxes, strict=True)],
    }
